"""From lift-off to docking: on as planned, by thrusters, or fetched by the ship."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

import mplan
from mplan.contingencies import rescue
from mplan.contingencies.ways_out import every
from mplan.contingencies.ways_out.at_the_moon import way_up
from mplan.contingencies.ways_out.burners import lost_at
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.physics import constants as c

SCENARIOS = Path(__file__).parents[3] / "scenarios"


def climbing(flight, share: float) -> CabinPoint:
    """A share of the way through the ascent."""
    burn = flight.burn_of("lunar ascent")
    return CabinPoint(flight, "ascent_stage", burn.elapsed + share * burn.duration)


def meeting(flight, share: float) -> CabinPoint:
    """A share of the way from insertion to the ship."""
    each = next(x for x in flight.passages if x.burn and x.burn.leg == "rendezvous")
    span = each.after.elapsed - each.before.elapsed
    return CabinPoint(flight, "ascent_stage", each.before.elapsed + share * span)


@pytest.mark.parametrize("share", [0.05, 0.5, 0.8])
def test_the_engine_lost_below_orbit_leaves_no_way(landing_plan, share):
    """The path meets the ground: neither thrusters nor the ship help, and each says why."""
    ways = every.ways_out(climbing(landing_plan.flight, share), "main engine lost")
    assert ways
    assert all(x.closed for x in ways)
    assert any("below the ground" in x.closed for x in ways)


def test_in_the_last_seconds_thrusters_lift_it_on(landing_plan):
    """A second before cut-off little is missing: thrusters give it, and the ship is met."""
    flight = landing_plan.flight
    burn = flight.burn_of("lunar ascent")
    share = 1.0 - 1.0 / burn.duration
    best = every.ways_out(climbing(flight, share), "main engine lost")[0]
    assert not best.closed
    assert best.ends == "docked to the ship"
    gone = next((x for x in best.burns if x.what == "ascent to orbit"), None)
    assert gone is None or gone.required < 120.0


def test_a_stopped_ascent_is_on_the_track(landing_plan):
    """At its end the stopped ascent is in the insertion orbit that the plan has."""
    flight = landing_plan.flight
    point = climbing(flight, 1.0 - 1e-6)
    burn = flight.burn_of("lunar ascent")
    stopped = way_up._stopped(point, burn, lost_at(point, "main engine lost"))
    track = flight.end.lunar_ascent.track
    i = int(np.searchsorted(track.t, point.elapsed - burn.elapsed, side="right") - 1)
    planned = flight.end.rendezvous.meeting.active
    here = stopped.orbit(tuple(flight.end.lunar_ascent.end))
    assert np.allclose(here.r, planned.r, atol=50.0)
    assert np.allclose(here.v, planned.v, atol=0.1)
    assert stopped.state.mass(burn.craft) == pytest.approx(float(track.mass[i]), abs=1.0)


def test_called_off_it_goes_on_to_the_ship(landing_plan):
    """On the way up the ship is the way out: what is left of the ascent, then the rendezvous."""
    flight = landing_plan.flight
    burn, meets = flight.burn_of("lunar ascent"), flight.burn_of("rendezvous")
    best = every.ways_out(climbing(flight, 0.25), "called off")[0]
    assert [x.what for x in best.burns] == ["ascent", "rendezvous"]
    assert 0.75 * burn.required < best.burns[0].required < 0.83 * burn.required  # it grows lighter
    assert best.burns[0].margin == pytest.approx(burn.available - burn.required)
    assert best.burns[1].required == meets.required


def test_after_insertion_the_ship_can_come(landing_plan):
    """The thrusters lost after insertion: the rescue is that of `contingencies.rescue`."""
    flight = landing_plan.flight
    ways = every.ways_out(meeting(flight, 0.002), "main engine lost")
    lost = flight.burn_of("rendezvous")
    others = [x for x in ways if x.burns and x.name != "rescue by the ship"]
    assert (lost.element, lost.engine) not in [x.burns[0][1:3] for x in others]
    found = next(x for x in ways if x.name == "rescue by the ship")
    stranded = next(rescue.strandings(flight.end.rendezvous))
    known = rescue.adequate(flight, stranded)
    assert not found.closed
    assert found.burns[0].required == pytest.approx(known.total, rel=0.1)
    assert found.burns[0].margin == pytest.approx(known.left, abs=12.0)


def test_beside_the_ship_all_that_is_left_is_docking(landing_plan):
    """Between braking and contact."""
    flight = landing_plan.flight
    dock = next(x for x in flight.passages[::-1] if x.moment.kind == "dock")
    middle = (dock.before.elapsed + dock.after.elapsed) / 2.0
    ways = every.ways_out(CabinPoint(flight, "ascent_stage", middle), "called off")
    assert [x.name for x in ways] == ["redocking with the ship", "redocking by the ship"]
    lost = every.ways_out(CabinPoint(flight, "ascent_stage", middle), "main engine lost")
    assert [x.name for x in lost if not x.closed] == ["redocking by the ship"]


def test_in_the_terminal_phase_the_ship_may_brake(landing_plan):
    """The thrusters lost on the way to the meeting: the ship makes the burns that are left."""
    flight = landing_plan.flight
    met = flight.end.rendezvous.meeting
    elapsed = met.terminal.t - flight.end.lift_off + 300.0
    ways = every.ways_out(CabinPoint(flight, "ascent_stage", elapsed), "main engine lost")
    found = next(x for x in ways if x.name == "braking by the ship")
    left = sum(x.size for x in met.steps if x.t > met.terminal.t + 300.0)
    assert found.burns[0].element == "service_module"
    assert found.required > 2.0 * left
    assert found.home == pytest.approx(met.docked - flight.end.lift_off)


def test_home_alone_from_an_ascent_that_goes_on():
    """Where no ship waits the ascent goes on into orbit, and home from there."""
    flight = mplan.fly(mplan.load(SCENARIOS / "home_from_the_ground.toml")).flight
    burn = flight.burn_of("lunar ascent")
    point = CabinPoint(flight, "crew_module", burn.elapsed + 60.0)
    best = every.ways_out(point, "called off")[0]
    assert [x.what for x in best.burns] == ["ascent", "return burn"]
    assert best.ends == "splash"
    shut = every.ways_out(point, "main engine lost")
    assert all(x.closed for x in shut)
    assert {x.ends for x in shut} == {"splash"}


def test_the_clock_of_a_rescue_runs_on(landing_plan):
    """The ship docks after it is called, and what is then left is told."""
    flight = landing_plan.flight
    point = meeting(flight, 0.1)
    ways = every.ways_out(point, "called off")
    found = next(x for x in ways if x.name == "rescue by the ship")
    assert not found.closed
    assert 0.0 < found.home - point.elapsed < 2.0 * c.DAY
