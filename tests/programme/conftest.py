"""Programmes for tests: one of stated times, so that nothing is flown, and many made from seeds."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from random import Random

import pytest

MISSIONS = Path(__file__).parent.parent / "missions"

HEAD = """
format = "mplan-programme/1"
name = "Test"
today = 2031-01-01
currency = "crown"
"""

SMALL = (
    HEAD
    + """
[pads.north]
turnaround = "30 d"

[crews.amber]
training = "200 d"
recurrency = "60 d"

[control_teams.day]
recovery = "10 d"

[engines.lamp]
status = "in development"
qualification = "50 d"
delivery = "20 d"
development_cost = "10 M"
cost = "2 M"

[elements.stage]
build_time = "100 d"
rate = "4 /year"
stock = 1
shipping = "5 d"
engines = {lamp = 2}
cost = "30 M"

[test_flights.trial]
pad = "north"
control_team = "day"
stacking = "20 d"
duration = "4 d"
elements = ["stage"]
operations_cost = "1 M"

[missions.first]
scenario = "orbit_and_return.toml"
pad = "north"
crew = "amber"
control_team = "day"
stacking = "20 d"
duration = "8 d"
elements = ["stage"]
after = ["trial"]

[missions.second]
scenario = "orbit_and_return.toml"
pad = "north"
crew = "amber"
control_team = "day"
stacking = "20 d"
duration = "8 d"
elements = ["stage"]

[rehearsals.drill]
control_team = "day"
duration = "15 d"
before = "first"
"""
)


@pytest.fixture
def written(tmp_path: Path) -> Callable[..., Path]:
    """Write a programme beside the missions of the tests, parts of its text replaced."""

    def write(text: str = SMALL, *pairs: tuple[str, str]) -> Path:
        for old, new in pairs:
            assert old in text
            text = text.replace(old, new, 1)
        file = tmp_path / "programme.toml"
        file.write_text(text.replace("orbit_and_return.toml", f"{MISSIONS}/orbit_and_return.toml"))
        return file

    return write


def many(missions: int, seed: int, *, elements: int = 10, pads: int = 2, crews: int = 4) -> str:
    """Return a programme of so many missions, all its times stated, made from a seed."""
    random = Random(seed)
    text = [HEAD, '[control_teams.a]\nrecovery = "14 d"', '[control_teams.b]\nrecovery = "14 d"']
    text += [f'[pads.p{i}]\nturnaround = "{random.randint(20, 60)} d"' for i in range(pads)]
    for i in range(crews):
        text.append(f'[crews.c{i}]\ntraining = "{random.randint(200, 500)} d"\nrecurrency = "90 d"')
    for i in range(elements):
        text.append(
            f'[elements.e{i}]\nbuild_time = "{random.randint(60, 300)} d"\n'
            f'rate = "{random.randint(2, 8)} /year"\nstock = {random.randint(0, 2)}\n'
            f'shipping = "{random.randint(3, 20)} d"\ncost = "{random.randint(5, 90)} M"'
        )
    for i in range(missions):
        used = random.sample(range(elements), max(1, elements * 3 // 4))
        names = ", ".join(f'"e{x}"' for x in sorted(used))
        after = f'after = ["m{random.randrange(i)}"]\n' if i and random.random() < 0.5 else ""
        text.append(
            f'[missions.m{i}]\nscenario = "orbit_and_return.toml"\n'
            f'pad = "p{random.randrange(pads)}"\n'
            f'crew = "c{random.randrange(crews)}"\ncontrol_team = "{random.choice("ab")}"\n'
            f'stacking = "{random.randint(15, 45)} d"\nduration = "{random.randint(5, 15)} d"\n'
            f"{after}elements = [{names}]\n{_windows(random)}"
        )
    return "\n\n".join(text)


def _windows(random: Random) -> str:
    """Return a window of four days each month for fifteen years, for two missions in three."""
    if random.random() < 0.33:
        return ""
    first = date(2031, 1, 1) + timedelta(days=random.randrange(28))
    days = [first + timedelta(days=round(29.53 * i)) for i in range(180)]
    rows = [f"  {{opens = {x}, closes = {x + timedelta(days=3)}}}," for x in days]
    return "windows = [\n" + "\n".join(rows) + "\n]\n"
