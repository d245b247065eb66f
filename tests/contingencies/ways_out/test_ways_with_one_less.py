"""One engine of a cluster stops in the climb: it goes on with the others, and how far."""

from __future__ import annotations

from math import exp, log

import numpy as np
import pytest

import mplan
from mplan.contingencies import abort_to_orbit
from mplan.contingencies.engine_out import climb_with_engine_out
from mplan.contingencies.ways_out.climbing import off_the_climb
from mplan.contingencies.ways_out.looks import look
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.flight.record import Flight
from mplan.physics import constants as c
from mplan.physics.climb.launch_vehicle import EngineOut

SHIP, LOWEST = "crew_module", "first_stage"
FAILURE = "one engine lost"


def on(flight: Flight, elapsed: float) -> list:
    """What the climb goes on to, once an engine has stopped."""
    found = off_the_climb.ways(CabinPoint(flight, SHIP, elapsed), FAILURE)
    return [x for x in found if x.name.startswith("climb with")]


def climb(flight: Flight, stage: int, since: float, radius: float = 0.0):
    return climb_with_engine_out(flight.end.climb, EngineOut(stage, since), radius)


@pytest.fixture(scope="module")
def heavy(landing_plan) -> Flight:
    """The same vehicle with so much on top that an engine less is too few for some time."""
    loaded = landing_plan.scenario.change("elements.lander_bay.dry_mass", "84 t")
    flight = mplan.fly(loaded).flight
    assert 2e3 < flight.end.climb.left < 4e3
    return flight


def test_it_goes_on_to_the_planned_orbit(landing_plan):
    """At its height and speed at insertion, to the metre and the centimetre a second."""
    flight = landing_plan.flight
    (way,) = on(flight, 60.0)
    assert not way.closed
    flown = climb(flight, 0, 60.0 - flight.end.climb.parts[0].ignition)
    r, v = (np.linalg.norm(x[-1]) for x in (flown.track.r, flown.track.v))
    assert r == pytest.approx(flight.end.climb.launch.radius, abs=1.0)
    assert v == pytest.approx(np.sqrt(c.MU_EARTH / r), abs=0.02)
    assert f"{flown.left / 1e3:.1f} t left" in way.note


def test_the_engine_stops_when_it_fails(landing_plan):
    """The thrust falls by one engine's share just then: of six, by a sixth."""
    planned = landing_plan.flight.end.climb
    ignition, count = planned.parts[0].ignition, planned.vehicle.stages[0].motor.count
    track = climb(landing_plan.flight, 0, 80.0).track
    before, after = track.t < 80.0 + ignition - 1e-6, track.t > 80.0 + ignition + 1e-6
    push = track.thrust[before][-1], track.thrust[after & (track.stage == 0)][0]
    assert push[1] / push[0] == pytest.approx((count - 1) / count, rel=0.02)  # air thins meanwhile


def test_the_later_it_stops_the_less_it_costs(landing_plan):
    """And at the end of the stage next to nothing."""
    flight = landing_plan.flight
    planned = flight.end.climb
    left = [climb(flight, 0, since).left for since in (5.0, 40.0, 90.0, 140.0, 175.0)]
    assert left == sorted(left)
    assert left[0] < planned.left - 2e3
    assert left[-1] == pytest.approx(planned.left, abs=30.0)


def test_no_propellant_comes_from_nowhere(landing_plan):
    """What its last stage has left is what it had, less what it gave, by Tsiolkovsky."""
    flown = climb(landing_plan.flight, 0, 20.0)
    stage, part = flown.vehicle.stages[-1], flown.parts[-1]
    end = float(flown.track.mass[-1])
    begin = end * exp(part.ideal / (stage.motor.isp * c.G0))
    assert begin - end == pytest.approx(stage.propellant - flown.left, rel=1e-3)
    assert log(begin / end) > 0.0


def test_an_engine_alone_leaves_no_way(landing_plan):
    """The last stage has one engine."""
    flight = landing_plan.flight
    part = flight.end.climb.parts[-1]
    assert flight.end.climb.vehicle.stages[-1].motor.count == 1
    assert on(flight, part.ignition + 10.0) == []


def test_too_little_for_the_planned_orbit_may_do_for_a_lower_one_or_the_ship(heavy):
    """Each in turn as the engine stops sooner: the planned orbit, a lower one, the ship alone."""
    assert heavy.end.climb.reached
    names = {}
    for elapsed in np.arange(2.0, heavy.end.climb.parts[0].cut_off, 12.0):
        best = next((x.name for x in on(heavy, float(elapsed)) if not x.closed), "none")
        names.setdefault(best, float(elapsed))
    assert list(names)[-1] == "climb with one engine of the first stage less"
    assert len(names) > 1
    lower = [x for x in names if "to an orbit of" in x]
    for name in lower:
        radius = c.R_EARTH + heavy.scenario.aborts.safe_orbit
        flown = climb(heavy, 0, names[name] - heavy.end.climb.parts[0].ignition, radius)
        assert float(np.linalg.norm(flown.track.r[-1])) == pytest.approx(radius, abs=1.0)


def test_the_ship_alone_makes_up_what_is_lacking(heavy):
    """Where the climb ends short of orbit: what it takes on from there is what lacks, and more."""
    ways = on(heavy, 2.0)
    closed = [x for x in ways if x.closed and "runs dry" in x.closed]
    assert closed
    alone = next(x for x in ways if x.name.endswith("then the ship alone"))
    radius = c.R_EARTH + heavy.scenario.aborts.safe_orbit
    flown = climb(heavy, 0, 2.0 - heavy.end.climb.parts[0].ignition, radius)
    slow = np.sqrt(c.MU_EARTH / radius) - np.linalg.norm(flown.track.v[-1])
    mode = abort_to_orbit.onward(
        flown.track, -1, heavy.start, "", ("service_module", SHIP), ["service_module"]
    )
    needs = float(mode.figure.split()[1].replace(",", ""))
    assert 0.9 * slow < needs < 3.0 * slow
    assert alone.note.startswith(f"requires {mode.figure.split()[1]} of")
    assert alone.estimate


def test_a_look_tells_one_engine_from_all_of_them(landing_plan):
    """With the stage lost there is one way fewer than with one engine lost."""
    seen = look(landing_plan.flight, SHIP, 60.0, ("main engine lost", FAILURE)).seen
    names = [seen[x].spare.ways for x in ("main engine lost", FAILURE)]
    assert names[1] - names[0] == {"climb with one engine of the first stage less"}
