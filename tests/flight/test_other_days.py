"""Missions far from the Moon's equator and at its limb, on many days: flown, or refused in words.

`MPLAN_DAYS=35` flies every day of five weeks on both sides; CI flies some that were hard to find.
"""

from __future__ import annotations

import os
import re
from datetime import timedelta
from pathlib import Path

import pytest

import mplan

MISSIONS = Path(__file__).parent.parent / "missions"
DAYS = int(os.environ.get("MPLAN_DAYS", "0"))
SIDES = ("ascending", "descending")
ALL = [(day, side) for day in range(DAYS) for side in SIDES]
HARD = [(9, "descending"), (12, "ascending"), (15, "descending")]  # ways home


def on(mission: str, day: int, side: str) -> mplan.Scenario:
    scenario = mplan.load(MISSIONS / f"{mission}.toml")
    date = scenario.dates.launch_day + timedelta(days=day)
    return scenario.change({"dates.launch_day": date, "dates.side": side})


def flown(scenario: mplan.Scenario) -> tuple[mplan.Plan | None, str]:
    """The plan, or why there is none."""
    try:
        return mplan.fly(scenario), ""
    except mplan.ScenarioError as problems:
        return None, str(problems)


@pytest.mark.parametrize(("day", "side"), ALL or HARD)
def test_a_landing_at_the_limb_flies_on_every_day(day, side):
    """Out and home; a day without a launch on a side says so."""
    plan, told = flown(on("limb_landing", day, side))
    assert plan.complete if plan else "has no launch on the" in told


@pytest.mark.parametrize(("day", "side"), ALL or [(2, "ascending"), (4, "descending")])
def test_a_polar_landing_flies_or_is_told_what_does(day, side):
    """From 5 deg north nearly due east, the Moon is missed on most days: other azimuths are named.

    Nothing of the search is shown: no vector, no count of corrections.
    """
    plan, told = flown(on("polar_landing", day, side))
    assert plan.flight.dated if plan else "accepted: " in told
    assert not re.search(r"\[|corrections|e[+-]\d\d", told)


def test_what_is_named_flies():
    """The launch time that is named where the planned azimuth misses the Moon is flown."""
    scenario = on("polar_landing", 2, "ascending")
    with pytest.raises(mplan.ScenarioError, match="along which no arc") as caught:
        mplan.fly(scenario)
    azimuth, clock = re.search(
        r"accepted: about ([\d.]+) deg, or dates.launch_time (\d\d:\d\d)", str(caught.value)
    ).groups()
    plan = mplan.fly(scenario.change("dates.launch_time", f"{clock}:00"))
    along = plan.flight.end.outbound.parking.site.launch_azimuth
    assert along * 57.29578 == pytest.approx(float(azimuth), abs=0.5)
