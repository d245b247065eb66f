"""What flying a hostile scenario answers: a sound plan, or a message; never figures that cannot be.

The scenarios are missions of the kit with a few values far off, at their bounds, or their events
in another order; the seed of one makes it again.
"""

from __future__ import annotations

import io
import json
import random
import re
from copy import deepcopy
from functools import cache
from itertools import pairwise
from math import isfinite
from pathlib import Path

import jsonschema
import numpy as np

import mplan
from mplan import contract
from mplan.flight.record import Flight
from mplan.show.terminal import print_brief
from tests.hostile.files import MISSIONS, Steps, paths

FACTORS = (1e-6, 1e-3, 0.01, 0.1, 0.3, 0.5, 0.8, 0.95, 1.05, 1.2, 2.0, 3.0, 10.0, 100.0, 1e4)
DAYS = ("1899-12-05", "1900-01-01", "1969-07-16", "2000-02-29", "2034-06-15", "2053-09-09")
FASTEST = 2e4  # m/s; an entry from the Moon is at 11 km/s
INSIDES = re.compile(r"array\(|\bnan\b|Traceback|\[[-\d. e+]+\]")  # none of a planner's business
AMOUNT = re.compile(r"([+-]?[\d.]+(?:e[+-]?\d+)?) (.+)")


@cache
def _mission(file: Path) -> mplan.Scenario:
    return mplan.load(file)


def scenario(seed: int) -> mplan.Scenario:
    """Return the scenario of a seed; ScenarioError where the change is refused at once."""
    draw = random.Random(seed)
    base = _mission(draw.choice(MISSIONS))
    changes: dict[str, object] = {}
    for _ in range(draw.randint(1, 3)):
        if draw.random() < 0.25:
            changes["events"] = _events(draw, base)
        else:
            changes.update(_value(draw, base))
    return base.change(changes)


def _events(draw: random.Random, base: mplan.Scenario) -> list[dict]:
    events = base.events_as_written()
    for _ in range(draw.randint(1, 2)):
        i, j = draw.randrange(len(events)), draw.randrange(len(events))
        match draw.choice(["swap", "drop", "repeat", "move", "longer"]):
            case "swap":
                events[i], events[j] = events[j], events[i]
            case "drop":
                del events[i]
            case "repeat":
                events.insert(j, deepcopy(events[i]))
            case "move":
                events.insert(j, events.pop(i))
            case "longer":
                events[i]["duration"] = draw.choice(["0.1 s", "1 s", "10 d", "400 d"])
    return events


def _value(draw: random.Random, base: mplan.Scenario) -> dict[str, object]:
    leaves = [path for path in paths(base._data) if path[0] not in ("events", "format")]
    path: Steps = draw.choice(leaves)
    value: object = base._data
    for step in path:
        value = value[step]
    key = ".".join(map(str, path))
    if key in ("dates.launch_day", "dates.decision_day"):
        return {key: draw.choice(DAYS)}
    if isinstance(value, str) and (found := AMOUNT.fullmatch(value)):
        number = float(found[1]) * draw.choice((*FACTORS, -1.0, 0.0))
        return {key: f"{number!r} {found[2]}"}
    if isinstance(value, bool):
        return {key: not value}
    if isinstance(value, int):
        return {key: draw.choice((0, 1, 2, 10, 100, 1000, value + 1, max(value - 1, 0)))}
    if isinstance(value, float):
        return {key: value * draw.choice(FACTORS)}
    return {key: None}  # left out, where it may be


def with_remedies(seed: int) -> bool:
    """Return whether remedies are flown too, for one of ten."""
    return seed % 10 == 0


def fly(seed: int) -> mplan.Plan | None:
    """Fly the scenario of a seed and hold it against what must be; None where it is refused."""
    try:
        flown = mplan.fly(scenario(seed), remedies=with_remedies(seed))
    except mplan.ScenarioError as error:
        problems = error.problems
    else:
        sound(flown.flight)
        document = json.loads(contract.as_json(flown))
        jsonschema.validate(document, contract.schema())
        print_brief(flown, io.StringIO(), every=True)
        return flown
    told = [f"{each.key} {each.text}" for each in problems]
    assert told
    assert not [each for each in told if INSIDES.search(each)]
    return None


def sound(flight: Flight) -> None:
    """Raise AssertionError for a flight with a figure that cannot be."""
    clock = [0.0, *(each.after.elapsed for each in flight.passages)]
    assert all(map(isfinite, clock)), "time"
    assert all(a <= b + 1e-6 for a, b in pairwise(clock)), "time runs back"
    for burn in flight.burns:
        figures = (burn.duration, burn.propellant, burn.required, burn.usable, burn.burned)
        assert all(isfinite(x) and x >= -1e-6 for x in figures), (burn.name, figures)
        assert burn.mass > 0.0, burn.name
        assert abs(burn.impulse) < FASTEST, (burn.name, burn.impulse)
        # In a climb it is the speed gained: less than none where a weak stage falls back.
        assert burn.leg == "climb" or burn.impulse > -1e-6, (burn.name, burn.impulse)
        others = (burn.available, burn.reserved, burn.required, burn.thrust_to_weight)
        assert all(map(isfinite, others)), (burn.name, others)
        assert all(isfinite(x) for x in burn.losses.values()), (burn.name, dict(burn.losses))
    for each in flight.passages:
        assert each.moment.mass > 0.0, each.moment.event
        loads = np.array(list(each.after.ledger.levels.values()), float)
        assert np.all(np.isfinite(loads)), each.moment.event
        assert np.all(loads > -1e-6), each.moment.event
