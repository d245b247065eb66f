"""From undocking to touchdown: back to the ship by either stage, or the ship comes."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

import mplan
from mplan.contingencies import descent_aborts
from mplan.contingencies.ways_out import every
from mplan.contingencies.ways_out.at_the_moon import to_the_ship, way_down
from mplan.contingencies.ways_out.burners import lost_at
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.flight import rendezvous
from mplan.physics import constants as c
from mplan.physics.arcs.lunar_orbit import coast, key_of
from mplan.physics.arcs.orbit import apsides

SCENARIOS = Path(__file__).parents[3] / "scenarios"


def braking(flight, share: float) -> CabinPoint:
    """A share of the way through the powered descent."""
    burn = flight.burn_of("powered descent")
    return CabinPoint(flight, "ascent_stage", burn.elapsed + share * burn.duration)


def coasting(flight, share: float = 0.5) -> CabinPoint:
    """A share of the way through the coast down to ignition."""
    begin = next(x for x in flight.passages if x.moment.event == "descent coast")
    span = begin.after.elapsed - begin.before.elapsed
    return CabinPoint(flight, "ascent_stage", begin.before.elapsed + share * span)


@pytest.mark.parametrize("share", [0.2, 0.5, 0.8])
def test_an_abort_takes_what_the_table_of_aborts_has(landing_plan, share):
    """The first burn of the way is that of `descent_aborts` at the same place of the track."""
    flight = landing_plan.flight
    point, burn = braking(flight, share), flight.burn_of("powered descent")
    track = flight.end.descent.track
    i = int(np.searchsorted(track.t, point.elapsed - burn.elapsed, side="right") - 1)
    table = descent_aborts.by_ascent_stage(flight, [i])[0]
    ways = every.ways_out(point, "main engine lost")
    ascent = next(x for x in ways if x.burns and x.burns[0].element == "ascent_stage")
    assert ascent.burns[0].required == pytest.approx(table.required, rel=2e-3)
    assert ascent.burns[0].available == pytest.approx(table.available, rel=0.01)


def test_an_abort_ends_in_the_orbit_that_it_is_aimed_at(landing_plan):
    """Perilune and apolune are those of the safe orbit, in the plane of the descent."""
    flight = landing_plan.flight
    point, burn = braking(flight, 0.5), flight.burn_of("powered descent")
    descent, safe = flight.end.descent, descent_aborts.safe(flight)
    lost = lost_at(point, "main engine lost")
    abort = next(
        x
        for x in way_down._aborts(
            point, lost, way_down._braked(point, burn, float(descent.track.mass[9]))
        )
        if x.burner.element == "ascent_stage"
    )
    i = len(descent.track.t) // 2
    axes, still = way_down._still(point.passage.before, burn, descent, i)
    flown = way_down.abort_climb(still, abort.push, abort.staging, safe)
    orbit = way_down._orbit_after(axes, flown, 0.0, abort)
    low, high = apsides(orbit)
    assert low == pytest.approx(max(safe.perilune, np.linalg.norm(orbit.r)), abs=200.0)
    assert high == pytest.approx(safe.apolune, abs=2e3)
    before = point.passage.before
    lander = coast(before.lander, before.t - before.lander.t)
    assert orbit.normal @ lander.normal > np.cos(0.5 * c.DEG)


def test_the_descent_engine_lost_leaves_the_ascent_stage(landing_plan):
    """The failing engine is not offered; the ascent stage leads to the ship, docked."""
    ways = every.ways_out(braking(landing_plan.flight, 0.5), "main engine lost")
    assert {x.burns[0].element for x in ways if x.burns} == {"ascent_stage"}
    best = ways[0]
    assert not best.closed
    assert best.ends == "docked to the ship"
    assert best.home > best.called
    assert [x.what for x in best.burns][-1] == "rendezvous"


def test_late_the_descent_stage_lacks_propellant(landing_plan):
    """Near the ground the descent stage does not come back alone; the ascent stage does."""
    ways = every.ways_out(braking(landing_plan.flight, 0.9), "called off")
    by = {x.name.split(",")[0]: x for x in ways if "then rescue" not in x.name}
    assert "tanks give" in by["abort to orbit by descent stage"].closed
    assert not by["abort to orbit by ascent stage"].closed


@pytest.mark.parametrize("share", [0.05, 0.5, 0.95])
def test_before_ignition_it_phases_from_its_perilune(landing_plan, share):
    """Wherever on the coast it is called off, the first burn is at the perilune ahead."""
    flight = landing_plan.flight
    ways = every.ways_out(coasting(flight, share), "called off")
    found = next(x for x in ways if not x.closed)
    ignition = flight.burn_of("powered descent").elapsed
    assert found.burns[0].elapsed == pytest.approx(ignition, abs=120.0)
    assert found.margin > 0.0


def test_beside_the_ship_docking_is_all_it_takes(landing_plan):
    """Before the descent-orbit burn the lander is beside the ship."""
    flight = landing_plan.flight
    burn = flight.burn_of("descent-orbit insertion")
    ways = every.ways_out(CabinPoint(flight, "ascent_stage", burn.elapsed - 60.0), "called off")
    assert [x.ends for x in ways] == 2 * ["docked to the ship"]
    assert [x.burns[0].element for x in ways] == ["ascent_stage", "service_module"]
    assert ways[0].required == landing_plan.scenario.rendezvous.docking
    assert ways[0].estimate


@pytest.mark.parametrize("late", [-2000.0, -300.0, 900.0, 2500.0, 4000.0])
def test_whatever_the_phase_a_meeting_is_found(landing_plan, late):
    """The ship too far ahead or behind: a wait or a phasing orbit, then the plan's burns."""
    flight = landing_plan.flight
    planned = flight.end.rendezvous.meeting
    ship = coast(planned.target, late)._replace(t=planned.active.t)
    asked = rendezvous.terms(flight.scenario)
    found = to_the_ship.meetings(key_of(planned.active), key_of(ship), asked)
    assert found
    for met in found:
        assert met.meeting.total < 1.3 * planned.total
        assert met.meeting.lowest > c.R_MOON + 10e3
    if all(met.phasing for met in found):
        assert min(met.phasing for met in found) < 300.0


def test_on_time_no_phasing_is_needed(landing_plan):
    """With the ship where the plan has it, the plan's own rendezvous comes out."""
    planned = landing_plan.flight.end.rendezvous.meeting
    asked = rendezvous.terms(landing_plan.scenario)
    found = to_the_ship.meetings(key_of(planned.active), key_of(planned.target), asked)
    assert found[0].phasing == 0.0
    assert found[0].revolutions == 0
    if asked.schedule == "coelliptic":
        assert found[0].meeting.total == pytest.approx(planned.total, rel=1e-6)


def test_a_ship_that_lands_whole_goes_home_from_its_abort():
    """No ship waits: the abort is followed by the way home from that orbit."""
    flight = mplan.fly(mplan.load(SCENARIOS / "whole_ship_down.toml")).flight
    burn = flight.burn_of("powered descent")
    point = CabinPoint(flight, "crew_module", burn.elapsed + 200.0)
    ways = every.ways_out(point, "main engine lost")
    best = ways[0]
    assert not best.closed
    assert best.ends == "splash"
    assert [x.what for x in best.burns] == ["abort to orbit", "return burn"]
    left = best.burns[0].available - best.burns[0].required
    assert best.burns[1].available == pytest.approx(left, abs=1.0)
    assert best.craft == ("return_stage", "crew_module")


def test_just_above_the_ground_it_lands_first(landing_plan):
    """Seconds before touchdown an abort meets the ground; the engine that works lands it."""
    flight = landing_plan.flight
    point = braking(flight, 0.9995)
    found = next(
        x for x in every.ways_out(point, "called off") if x.name.startswith("touchdown, then")
    )
    stay = next(x for x in flight.passages if x.moment.kind == "stay")
    assert not found.closed
    assert found.burns[0].elapsed > stay.before.elapsed
    lost = every.ways_out(point, "main engine lost")
    assert not [x for x in lost if x.name.startswith("touchdown, then")]
