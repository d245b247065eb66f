"""The dose along the way: belts by a dipole, times by hand, a limit that is stated."""

from __future__ import annotations

import numpy as np
import pytest

import mplan
from mplan.checks import radiation, remedies
from mplan.checks.radiation.dose import at_most
from mplan.physics.bodies import earth
from mplan.physics.constants import DAY, HOUR, R_EARTH
from mplan.physics.living import belts, dose_rates


@pytest.fixture(scope="module")
def limited(reference_landing, landing_plan):
    """A function that flies the reference landing with a dose limit."""

    def of(limit: str):
        stated = reference_landing.change({"radiation": {"dose_limit": limit}})
        return mplan.fly(stated, like=landing_plan).flight

    return of


def test_shells_of_a_dipole():
    """Over its equator L is the distance in Earth radii; at 60 deg of it four times as much."""
    t = np.array([9.0e8, 9.0e8])
    axis = np.array(
        [
            np.cos(belts.POLE_LATITUDE) * np.cos(belts.POLE_LONGITUDE),
            np.cos(belts.POLE_LATITUDE) * np.sin(belts.POLE_LONGITUDE),
            np.sin(belts.POLE_LATITUDE),
        ]
    )
    pole = earth.earth_fixed_axes(9.0e8).T @ axis
    level = np.cross(pole, [1.0, 0.0, 0.0])
    level /= np.linalg.norm(level)
    leaning = 0.5 * level + np.sqrt(0.75) * pole
    r = 2.0 * R_EARTH * np.array([level, leaning])
    assert belts.shells(r, t) == pytest.approx([2.0, 8.0], rel=1e-9)
    assert belts.belts(r, t).tolist() == [1, 0]
    assert belts.belts(1.1 * r, t).tolist() == [1, 0]
    assert belts.belts(2.5 * r, t).tolist() == [2, 0]
    assert belts.belts(0.55 * r, t).tolist() == [0, 0]  # too low for what the air takes


def test_times_add_up_to_the_mission(landing_plan):
    """Every hour is in one part, for those who land and for those who stay."""
    flight = landing_plan.flight
    found = radiation.doses(flight)
    assert [x.who for x in found] == ["those who stay aboard", "those who land"]
    assert sum(x.crew for x in found) == flight.scenario.mission.crew
    for each in found:
        assert sum(x.time for x in each.parts) == pytest.approx(flight.duration, rel=1e-3)
        assert each.least < each.usual < each.most
        assert all(part.source for part in each.parts)


def test_the_belts_are_passed_twice_in_some_hours(landing_plan):
    """Out and home by fast arcs: an hour or two in each of the passages."""
    parts = radiation.doses(landing_plan.flight)[0].parts
    part = next(x for x in parts if x.where == "through the belts")
    assert part.source.startswith("2 passages")
    assert 2.0 * HOUR < part.time < 6.0 * HOUR


def test_free_space_by_hand(landing_plan):
    """1.84 mSv a day of the time that is left."""
    stays = radiation.doses(landing_plan.flight)[0]
    free = next(x for x in stays.parts if x.where.startswith("in free space"))
    assert free.usual == pytest.approx(1.84e-3 * free.time / DAY)
    assert dose_rates.LUNAR_SURFACE.usual * DAY == pytest.approx(1.369e-3)


def test_a_limit_is_held_against_it(limited):
    """What may pass is a decision, what passes stops; neither without the key, or far below."""
    flight = limited("25 mSv")
    doses = radiation.doses(flight)
    assert doses[0].usual < 0.025 < doses[0].most <= at_most(flight)
    found = list(radiation.findings(flight))
    assert {x.severity for x in found} == {"needs a decision"}
    assert all("a solar particle event is not modelled" in x.text for x in found)
    assert {x.severity for x in radiation.findings(limited("5 mSv"))} == {"stops the flight"}
    assert list(radiation.findings(limited("500 mSv"))) == []
    assert at_most(limited("500 mSv")) < 0.5


def test_a_shorter_mission_helps(limited, landing_plan):
    """A millisievert too much of what may be: an earlier lift-off from the Moon, or none helps."""
    most = max(x.most for x in radiation.doses(landing_plan.flight))
    flight = limited(f"{most * 1e3 - 1.0:.2f} mSv")
    found = list(radiation.findings(flight))[:1]
    assert found[0].severity == "needs a decision"
    (told,) = remedies.for_findings(flight, tuple(found))
    assert any(x.closes for x in told.remedies)


def test_no_limit_no_finding(landing_plan):
    assert list(radiation.findings(landing_plan.flight)) == []
