"""On the pad and in the climb: the abort modes, told as ways out, estimates marked."""

from __future__ import annotations

import numpy as np
import pytest

from mplan.contingencies import climb_aborts
from mplan.contingencies.return_to_splash import fallen, falling
from mplan.contingencies.ways_out import every
from mplan.contingencies.ways_out.climbing import off_the_climb
from mplan.contingencies.ways_out.failures import FAILURES
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.physics import constants as c
from mplan.physics.bodies.downrange import ground_distance


def at(flight, elapsed):
    return CabinPoint(flight, "crew_module", elapsed)


def test_on_the_pad_the_tower_alone(landing_plan):
    ways = every.ways_out(at(landing_plan.flight, 0.0), "called off")
    assert [way.name for way in ways] == ["escape tower"]
    assert ways[0].estimate
    assert ways[0].home is None  # not worked out, and so not told


@pytest.mark.parametrize("share", [0.1, 0.35, 0.6, 0.85, 0.99])
def test_the_same_modes_as_in_the_climb(landing_plan, share):
    """Open and closed as the climb's own abort modes; each one says what it rests on."""
    flight = landing_plan.flight
    elapsed = share * flight.end.climb.duration
    modes = climb_aborts.abort_modes(off_the_climb.climb_point(flight, elapsed))
    ways = every.ways_out(at(flight, elapsed), "main engine lost")
    assert {x.name: x.closed for x in modes} == {x.name: x.closed for x in ways}
    assert all(way.estimate for way in ways)


def test_the_last_point_that_is_past(landing_plan):
    flight = landing_plan.flight
    times = flight.end.climb.track.t
    for elapsed in (3.0, 77.7, float(times[-1])):
        point = off_the_climb.climb_point(flight, elapsed)
        assert point.t <= elapsed
        assert times[min(point.index + 1, len(times) - 1)] >= min(elapsed, times[-1])


def test_a_fall_ends_further_on_than_it_began(landing_plan):
    """Away from the pad by what has been flown and more; the later the further."""
    flight, site = landing_plan.flight, landing_plan.scenario.launch_site
    pad, far = (site.latitude, site.longitude), []
    for share in (0.3, 0.5, 0.7, 0.85):
        elapsed = share * flight.end.climb.duration
        way = next(
            x for x in every.ways_out(at(flight, elapsed), "called off") if "splash" in x.name
        )
        point = off_the_climb.climb_point(flight, elapsed)
        flown = float(point.track.downrange[point.index]) * c.R_EARTH
        if way.closed:
            continue
        assert ground_distance(way.lands, pad) > flown
        assert elapsed < way.home < elapsed + c.HOUR
        far.append(ground_distance(way.lands, pad))
    assert len(far) > 1
    assert far == sorted(far)


def test_a_vertical_fall_comes_down_below(landing_plan):
    """A stand-still in inertial space 120 km up falls behind the ground that turns: to the west.

    By the turn of Earth in the time of the fall, which is about 465 m/s at the equator.
    """
    flight = landing_plan.flight
    here = (c.R_EARTH + 100e3, 0.0, 0.0, 0.0, 10.0, 0.0)
    coast, flown = fallen(here, falling(flight.start))
    last = flown.last
    assert coast == pytest.approx(0.0)
    west = np.arctan2(last.state[1], last.state[0]) - c.W_EARTH * last.t
    assert -c.W_EARTH * last.t < west < 0.0


def test_all_failures_are_taken_as_the_stage_that_burns(landing_plan):
    """But for a cluster that loses one engine, which has a way more."""
    point = at(landing_plan.flight, 100.0)
    ways = {failure: list(off_the_climb.ways(point, failure)) for failure in FAILURES}
    first, *others = ways.pop("one engine lost")
    assert first.name == "climb with one engine of the first stage less"
    assert all(each == others for each in ways.values())
