"""Scenario files as nobody should write them: a mission of the kit with a few values put wrong.

One random number generator makes one case, so that its seed is all there is to keep of it.
"""

from __future__ import annotations

import os
import random
from collections.abc import Callable, Iterator
from copy import deepcopy
from datetime import date, time
from functools import cache
from pathlib import Path

import mplan
from mplan.scenario.quantities import KINDS
from tests.hostile.toml_text import Literal, written

ROOT = Path(__file__).parents[2]
MISSIONS = sorted([*(ROOT / "scenarios").glob("*.toml"), *(ROOT / "tests/missions").glob("*.toml")])

Steps = tuple["str | int", ...]
Tables = dict

NUMBERS = (0, -1, 1, 2, 10**9, 10**18, 10**30, -(10**400), 0.0, -0.0, 3.5, 1e-300, 5e-324, 1e308)
AMOUNTS = ("0", "-1", "1e-300", "5e-324", "1e-9", "1e-3", "1", "1e3", "1e6", "1e12", "1e300",
           "1.7e308", "1e309", "nan", "inf", "-inf", "9" * 400)  # fmt: skip
UNITS = ("", "m", "km", "kg", "t", "s", "h", "d", "yr", "N", "MN", "deg", "rad", "%", "W", "J",
         "Pa", "m/s", "m/s2", "kg/d", "MJ/m2", "W/m2", "parsec", "solMass", "ton", "m**99",
         "m**1e9", "m/0", "10**400 m", "(", "\x00", "mag", "dB", "Å", "°", "eV/c2",
         "1e300 km", "km km", "§")  # fmt: skip
TEXTS = ("", " ", "x", "\x00", "a\x00b", "\x1b[2J", "\u202e", "\ufeff", "a" * 5000, "../..", "/",
         ".", "=1+1", "<script>", "first_stage", "crew_module", "burn", "\n", "é" * 300, "None",
         "[key]", "1e3 kg", "2035-02-30", "99:99:99", "elements", "0", "true", "\ud7ff",
         "\U0010ffff")  # fmt: skip
LITERALS = ("1" * 4301, "-" + "9" * 5000, "0x" + "f" * 5000, "1" + "_1" * 4400, "1e999999999999",
            "[" * 3000, "{a=" * 3000, "[" * 300 + "]" * 300, "2035-02-30", "0000-01-01",
            "9999-12-31T23:59:59+23:59", "0001-01-01T00:00:00+23:59", "24:00:00", "nan", "+inf",
            '"""', "'", '"\\uD800"', '"\\U00110000"', '"\x00"', "", "=", "{}", "[[]]", "{a = 1}",
            "0001-01-01", "1899-12-05", "1899-12-04", "2053-09-09", "2053-09-10")  # fmt: skip
MOMENTS = (
    date(1, 1, 1),
    date(9999, 12, 31),
    date(1899, 12, 5),
    date(2053, 9, 9),
    time(0),
    time(23),
)


def places(folder: Path) -> tuple[str, ...]:
    """Return what `from` should not point at: devices, a pipe, folders, the file itself."""
    pipe = folder / "pipe"
    if not pipe.exists():
        os.mkfifo(pipe)
    return ("/dev/zero", "/dev/stdin", "/dev/null", "/proc/self/mem", str(pipe), str(folder), ".",
            "/", "..", "case.toml", "no such.toml", "a\x00b", "", "x" * 5000, "/proc/kmsg", "~",
            "/dev/tty", "//", "case.toml/x", "\ud7ff")  # fmt: skip


@cache
def _tables(mission: Path) -> Tables:
    """Return the tables of a mission, its files and its events included."""
    scenario = mplan.load(mission)
    tables = deepcopy(scenario._data)
    tables["events"] = scenario.events_as_written()
    return _without_files(tables)


def _without_files(value: object) -> object:
    if isinstance(value, dict):
        return {key: _without_files(each) for key, each in value.items() if key != "from"}
    return [_without_files(each) for each in value] if isinstance(value, list) else value


def paths(value: object, before: Steps = ()) -> Iterator[Steps]:
    """Yield the path of every key and index of a tree."""
    pairs = value.items() if isinstance(value, dict) else enumerate(value)
    for key, each in pairs:
        yield (*before, key)
        if isinstance(each, (dict, list)):
            yield from paths(each, (*before, key))


def _at(tables: Tables, path: Steps) -> object:
    for step in path:
        tables = tables[step]
    return tables


def _put(tables: Tables, path: Steps, value: object) -> None:
    _at(tables, path[:-1])[path[-1]] = value


def _somewhere(draw: random.Random, tables: Tables) -> Steps:
    """Return a path; each key of a table is as likely as the next, however much is under it."""
    path: Steps = ()
    here: object = tables
    while isinstance(here, (dict, list)) and here and (not path or draw.random() < 0.85):
        step = draw.choice(list(here) if isinstance(here, dict) else range(len(here)))
        path, here = (*path, step), here[step]
    return path


def _odd(draw: random.Random, tables: Tables, folder: Path) -> object:
    """Return a value that does not belong: of another type, too large, too small, not finite."""
    return draw.choice(
        (
            lambda: draw.choice(NUMBERS),
            lambda: f"{draw.choice(AMOUNTS)} {draw.choice(UNITS)}",
            lambda: f"{draw.choice(AMOUNTS)} {draw.choice([kind.si for kind in KINDS.values()])}",
            lambda: draw.choice(TEXTS),
            lambda: Literal(draw.choice(LITERALS)),
            lambda: draw.choice(MOMENTS),
            lambda: draw.choice(([], {}, [{}], [[]], [1], ["x"], {"a": 1}, {"from": "x"}, True)),
            lambda: deepcopy(_at(tables, _somewhere(draw, tables))),
            lambda: draw.choice(places(folder)),
        )
    )()


def _wrong_value(draw: random.Random, tables: Tables, folder: Path) -> None:
    _put(tables, _somewhere(draw, tables), _odd(draw, tables, folder))


def _lost(draw: random.Random, tables: Tables, folder: Path) -> None:
    path = _somewhere(draw, tables)
    del _at(tables, path[:-1])[path[-1]]


def _renamed(draw: random.Random, tables: Tables, folder: Path) -> None:
    path = _somewhere(draw, tables)
    holder = _at(tables, path[:-1])
    if isinstance(holder, dict):
        names = [*TEXTS, Literal(draw.choice(LITERALS)), Literal("a.b"), *holder]
        holder[draw.choice(names)] = holder.pop(path[-1])


def _from_elsewhere(draw: random.Random, tables: Tables, folder: Path) -> None:
    holders = [tables, *(_at(tables, path) for path in paths(tables))]
    holder = draw.choice([each for each in holders if isinstance(each, dict)])
    holder["from"] = draw.choice([*places(folder), *NUMBERS[:3], [], {}])


def _events_moved(draw: random.Random, tables: Tables, folder: Path) -> None:
    events = tables.get("events")
    if isinstance(events, list) and len(events) > 1:
        i, j = draw.randrange(len(events)), draw.randrange(len(events))
        move = draw.choice((events.insert, lambda i, event: events.pop(i), events.__setitem__))
        move(i, deepcopy(events[j]))


def _other_profile(draw: random.Random, tables: Tables, folder: Path) -> None:
    mission = tables.get("mission")
    other = _tables(draw.choice(MISSIONS))["mission"]["profile"]
    if isinstance(mission, dict):
        mission["profile"] = other
        tables.pop("events" if draw.random() < 0.7 else "landing_site", None)


Slip = Callable[[random.Random, Tables, Path], None]
SLIPS: tuple[tuple[Slip, int], ...] = (
    (_wrong_value, 12),
    (_lost, 3),
    (_renamed, 2),
    (_from_elsewhere, 2),
    (_events_moved, 2),
    (_other_profile, 1),
)


def tables_of(draw: random.Random, folder: Path) -> Tables:
    """Return the tables of a mission with one to three things wrong."""
    tables = deepcopy(_tables(draw.choice(MISSIONS)))
    for _ in range(draw.randint(1, 3)):
        slip = draw.choices([each for each, _ in SLIPS], [weight for _, weight in SLIPS])[0]
        if tables:
            slip(draw, tables, folder)
    return tables


def text_of(seed: int, folder: Path) -> str:
    """Return the text of the file that a seed makes; one of eight is cut or overwritten too."""
    draw = random.Random(seed)
    text = written(tables_of(draw, folder))
    if draw.random() < 0.125:
        start = draw.randrange(len(text) + 1)
        text = text[:start] + draw.choice(TEXTS) + text[start + draw.randrange(200) :]
    return text
