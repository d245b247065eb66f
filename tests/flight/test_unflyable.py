"""Scenarios that read well and cannot be flown: one sentence each, naming the key."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest

import mplan
from mplan.flight import walk
from mplan.flight.unflyable import Unflyable


def refused(scenario: mplan.Scenario) -> str:
    with pytest.raises(mplan.ScenarioError, match=r".") as caught:
        mplan.fly(scenario)
    assert len(caught.value.problems) == 1
    return str(caught.value)


def test_a_message_names_file_and_line(reference_landing):
    """What is wrong with an event is told with its line in the file."""
    index = next(i for i, x in enumerate(reference_landing.events) if x.do == "land")
    error = reference_landing.refused(("events", index), "found nothing to land")
    assert "reference_landing.toml:" in str(error)
    assert f"events.{index}: found nothing to land" in str(error)


def test_an_orbit_that_never_passes_under_the_moon(reference_landing):
    """From the equator due east there is no way to a Moon that stands north of it."""
    level = reference_landing.change(
        {"launch_site.latitude": "0 deg", "launch_site.azimuth": "90 deg"}
    )
    with pytest.raises(Unflyable, match=r"inclined 0\.0 deg that the Moon, \d") as caught:
        walk.fly(level)
    assert caught.value.path == ("launch_site", "azimuth")
    accepted = re.search(r"up to (\d+\.\d) deg or from (\d+\.\d) deg", str(caught.value))
    north = float(accepted.group(1))
    assert float(accepted.group(2)) == pytest.approx(180.0 - north, abs=0.11)
    # a little further from due east than what is said to be accepted, the mission flies
    walk.fly(level.change("launch_site.azimuth", f"{north - 1.0} deg"))


def test_a_day_without_a_launch_on_that_side(reference_landing):
    """Chances of one side come a little over a day apart: now and then a day has none."""
    message = refused(
        reference_landing.change({"dates.launch_day": date(2031, 5, 23), "dates.side": "ascending"})
    )
    assert "found 2031-05-23, which has no launch on the ascending side" in message
    assert "accepted: 2031-05-22 (at 23:51) or 2031-05-24 (at 01:18)" in message


@pytest.mark.parametrize("day", range(21, 25))
@pytest.mark.parametrize("side", ["ascending", "descending"])
def test_a_launch_is_on_its_day_or_refused(reference_landing, day, side):
    """Around the missing day the others keep theirs."""
    scenario = reference_landing.change(
        {"dates.launch_day": date(2031, 5, day), "dates.side": side}
    )
    if (day, side) == (23, "ascending"):
        refused(scenario)
    else:
        assert mplan.fly(scenario).flight.utc(0.0).date() == date(2031, 5, day)


def test_a_flyby_whose_parking_orbit_stays_below_the_moon():
    """It states no time across, which the free return decides."""
    flyby = mplan.load(Path(__file__).parents[1] / "missions" / "round_the_moon.toml")
    with pytest.raises(mplan.ScenarioError, match=r"that the Moon, .* stays out of"):
        mplan.fly(flyby.change("launch_site.latitude", "-0.1998 deg"))
