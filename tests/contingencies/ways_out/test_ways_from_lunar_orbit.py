"""Home from lunar orbit at any hour, by each engine that is there."""

from __future__ import annotations

import numpy as np
import pytest

import mplan
from mplan.contingencies.ways_out import burners, every
from mplan.contingencies.ways_out.at_the_moon import (
    cut_change,
    home_from_orbit,
    in_parts,
    leaving,
    lunar_orbit,
    now,
    return_targets,
)
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.physics import constants as c
from mplan.physics.arcs import nbody
from mplan.physics.arcs.homeward import INTERFACE_RADIUS, flight_path_angle, target_return
from mplan.physics.arcs.lunar_orbit import key_of
from mplan.physics.arcs.orbit import apsides
from mplan.physics.arcs.recovery import Goal, splash_latitude
from mplan.physics.burns import aimed_burn
from mplan.vehicle.inertia import in_line
from mplan.vehicle.same import Same

HOME = "trans-Earth injection"


def point_in(flight, event: str, share: float = 0.5, cabin: str = "crew_module") -> CabinPoint:
    """A share of the way through the first event of a name."""
    each = next(x for x in flight.passages if x.moment.event.startswith(event))
    span = each.after.elapsed - each.before.elapsed
    return CabinPoint(flight, cabin, each.before.elapsed + share * span)


def joined(flight) -> CabinPoint:
    """In lunar orbit with the lander on the ship's nose, before anybody leaves."""
    undocks = next(i for i, x in enumerate(flight.passages) if x.moment.kind == "undock")
    before = flight.passages[undocks - 1].before
    return CabinPoint(flight, "crew_module", before.elapsed + 60.0)


def test_called_off_as_the_return_is_due_takes_what_the_plan_takes(landing_plan):
    """An hour before the return burn the way out is the way home of the plan."""
    flight = landing_plan.flight
    burn = flight.burn_of("trans-Earth injection")
    point = CabinPoint(flight, "crew_module", burn.elapsed - 1900.0)
    ways = every.ways_out(point, "called off")
    found = next(x for x in ways if x.burns and x.burns[0].engine == burn.engine)
    assert not found.closed
    assert found.burns[0].elapsed == pytest.approx(burn.elapsed + burn.duration / 2.0, abs=60.0)
    assert found.required == pytest.approx(burn.required, abs=1.0)
    assert found.burns[0].available == pytest.approx(burn.available, abs=2.0)
    assert found.home == pytest.approx(flight.splash.t - flight.end.lift_off, abs=120.0)


def test_the_way_home_meets_the_air_with_the_other_integrator(landing_plan):
    """The arc of a return called off is flown again by SciPy's integrator: the same interface."""
    point = joined(landing_plan.flight)
    away = leaving.Leaving(
        point.flight, now.state_at(point), point.craft, point.before.orbit, point.before, 0.0
    )
    found = return_targets.next_return(away, landing_plan.scenario.dates.transearth_time)
    again = nbody.fly_arc(found.r, found.v, found.t, 8 * c.DAY, "earth", back_end="dop853")
    assert again.stop == "entry interface"
    angle = flight_path_angle(again.r, again.v)
    assert angle == pytest.approx(landing_plan.scenario.orbits.entry_angle, abs=0.02 * c.DEG)
    assert np.linalg.norm(again.r) == pytest.approx(INTERFACE_RADIUS, abs=25e3)


def test_the_main_engine_lost_leaves_the_lander_and_the_thrusters(landing_plan):
    """The lost engine is not told of; the lander pushes with both stages, on the ship's nose."""
    point = joined(landing_plan.flight)
    lost = point.next_burn
    ways = every.ways_out(point, "main engine lost")
    burning = [(x.burns[0].element, x.burns[0].engine) for x in ways if x.burns]
    assert (lost.element, lost.engine) not in burning
    lander = next(x for x in ways if x.burns and x.burns[0].element == "descent_stage")
    assert set(lander.craft) == set(point.craft)
    assert "not needed after the burn" in lander.note


def test_an_engine_alone_that_is_lost_is_the_main_engine(landing_plan):
    """One engine of one: the same as losing the main engine."""
    point = joined(landing_plan.flight)
    assert burners.lost_at(point, "one engine lost") == burners.lost_at(point, "main engine lost")
    assert burners.lost_at(point, "called off") == burners.NOTHING


def test_what_nozzles_point_at(landing_plan):
    """The ascent stage hangs between ship and descent stage: that goes before it is lit."""
    point = joined(landing_plan.flight)
    state = now.state_at(point)
    assert in_line(point.craft, state.scenario)[0] == "service_module"
    assert burners.behind_nozzles(state, point.craft, "ascent_stage") == ("descent_stage",)
    assert burners.behind_nozzles(state, point.craft, "descent_stage") == ()
    assert burners.behind_nozzles(state, point.craft, "service_module") == ()
    assert burners.behind_nozzles(state, point.craft, "crew_module") == ("service_module",)


def test_half_the_thrust_is_told_from_all_of_it(landing_plan):
    """A cluster that has lost one engine of two burns on with the other; less is not nothing."""
    point = joined(landing_plan.flight)
    state = now.state_at(point)
    key = ("service_module", "thrusters")
    whole, less = (
        next(x for x in burners.burners(state, point.craft, lost) if x.key == key)
        for lost in (burners.NOTHING, burners.LostEngines(fewer=frozenset((key,))))
    )
    one = whole.rated(state).thrust_vacuum
    assert whole.thrust - less.thrust == pytest.approx(one)
    gone = burners.LostEngines(gone=frozenset((key,)))
    assert key not in [x.key for x in burners.burners(state, point.craft, gone)]


def test_a_weak_engine_takes_the_cheapest_time_home(landing_plan):
    """What an engine has not enough for in the plan's time, it may have for a longer one."""
    point = joined(landing_plan.flight)
    state = now.state_at(point)
    away = leaving.Leaving(
        point.flight, state, point.craft, point.before.orbit, point.before, point.elapsed
    )
    planned = return_targets.best_return(away, 2e3)
    least = return_targets.best_return(away, 0.95 * planned.delta_v)
    assert planned.interface.t - planned.t < least.interface.t - least.t
    assert planned.delta_v > least.delta_v + 20.0
    assert return_targets.best_return(away, 10.0) is planned  # hopeless: the plan's is told


def test_the_state_at_a_time_is_that_of_the_plan_at_the_end_of_an_event(landing_plan):
    """Drawn up to the end of a rest, the tanks hold what the plan's next state has."""
    flight = landing_plan.flight
    undocks = next(i for i, x in enumerate(flight.passages) if x.moment.kind == "undock")
    rest = flight.passages[undocks - 2]
    state = now.state_at(CabinPoint(flight, "crew_module", rest.after.elapsed - 1e-3))
    craft = state.joined("crew_module")
    assert state.mass(craft) == pytest.approx(rest.after.mass(craft), abs=0.01)
    assert np.allclose(state.orbit.r, rest.after.orbit.r, atol=10.0)


def test_the_ship_waits_for_its_lander(landing_plan):
    """While people are away the way home begins with the soonest that brings them back."""
    flight = landing_plan.flight
    point = point_in(flight, "stay at the Moon")
    lander = every.ways_out(CabinPoint(flight, "ascent_stage", point.elapsed), "called off")
    soonest = min(x.home for x in lander if not x.closed)
    best = every.ways_out(point, "called off")[0]
    assert "the ship waits" in best.note
    assert best.burns[0].elapsed > soonest + lunar_orbit.boarding(flight)
    assert best.burns[0].elapsed < soonest + lunar_orbit.boarding(flight) + 4.5 * c.HOUR


def test_docked_ahead_of_the_plan_nobody_is_waited_for(landing_plan):
    """A lander that is back early is aboard, though the plan has it elsewhere."""
    flight = landing_plan.flight
    point = point_in(flight, "stay at the Moon")
    found = every.ways_once_docked(point)
    assert not found[0].closed
    assert "waits" not in found[0].note
    wait = found[0].burns[0].elapsed - point.elapsed
    assert lunar_orbit.boarding(flight) < wait < lunar_orbit.boarding(flight) + 4.5 * c.HOUR


@pytest.mark.parametrize("share", [0.05, 0.5, 0.95])
def test_a_change_of_orbit_cut_short(orbital_plan, share):
    """Half of the circularisation leaves half of the ellipse; home from there takes as much."""
    flight = orbital_plan.flight
    passage = next(
        (x for x in flight.passages if x.burn and x.burn.leg == "lunar-orbit circularisation"), None
    )
    if passage is None:
        return  # the flyby of the two missions
    burn = passage.burn
    elapsed = burn.elapsed + share * burn.duration
    orbit = cut_change.stopped(Same(passage), elapsed)
    begin, end = apsides(burn.at_ignition.orbit)[1], apsides(passage.after.orbit)[1]
    assert apsides(orbit)[1] == pytest.approx(begin + share * (end - begin), abs=12e3)
    ways = every.ways_out(CabinPoint(flight, "crew_module", elapsed), "called off")
    assert "stopped in an orbit of" in ways[0].note
    assert not ways[0].closed


def test_a_weak_engine_leaves_in_parts(landing_plan):
    """A tenth of a metre per second squared: raised burn by burn, mended, and home all the same.

    It spends more than the impulse and no more than half as much again; the last coast meets the
    air with the other integrator.
    """
    point = joined(landing_plan.flight)
    away = leaving.Leaving(
        point.flight, now.state_at(point), point.craft, point.before.orbit, point.before, 0.0
    )
    angle, duration = return_targets.entry_angle(away), return_targets.cheapest_time(away)
    first = return_targets.next_return(away, duration)
    engine = in_parts.WeakEngine(3000.0, 310.0, 15e3, 2500.0)
    onward = return_targets.Onward(angle)
    found = in_parts.in_parts(Same(first), engine, angle, onward)
    assert [x.what for x in found.burns][-2:] == ["return burn", "midcourse correction"]
    assert 1.02 * first.delta_v < found.spent < 1.5 * first.delta_v
    for one, then in zip(found.burns, found.burns[1:], strict=False):
        assert one.t + one.seconds / 2.0 < then.t - 0.66 * then.seconds
    arc = found.arcs[-1]
    end = nbody.fly_arc(arc.r, arc.v, arc.begin, 9 * c.DAY, "earth", back_end="dop853")
    assert end.stop == "entry interface"
    assert flight_path_angle(end.r, end.v) == pytest.approx(angle, abs=0.1 * c.DEG)


def test_a_burn_that_cannot_be_solved_in_one_arc_is_made_in_parts(landing_plan, monkeypatch):
    """No gap is told for want of a solution: along the velocity, and mended, it leads home too."""
    monkeypatch.setattr(home_from_orbit, "flown_out", lambda *asked: aimed_burn.USED_UP)
    found = next(iter(every.ways_out(joined(landing_plan.flight), "called off")))
    assert not found.closed
    assert len(found.burns) > 1


def test_a_stronger_engine_spends_less(landing_plan):
    """What gravity takes grows with the time that the burns last."""
    point = joined(landing_plan.flight)
    away = leaving.Leaving(
        point.flight, now.state_at(point), point.craft, point.before.orbit, point.before, 0.0
    )
    angle, duration = return_targets.entry_angle(away), return_targets.cheapest_time(away)
    first = return_targets.next_return(away, duration)
    onward = return_targets.Onward(angle)
    spent = [
        in_parts.in_parts(
            Same(first), in_parts.WeakEngine(thrust, 310.0, 15e3, 2500.0), angle, onward
        ).spent
        for thrust in (1500.0, 5000.0)
    ]
    assert spent[0] > spent[1] + 10.0


def test_one_engine_of_two_is_not_held_straight(reference_landing):
    """With one of two lost the thrust is half and off the axis: what control lacks is told."""
    scenario = reference_landing.change("elements.service_module.engines.main.count", 2)
    flight = mplan.fly(scenario).flight
    point = CabinPoint(flight, "crew_module", flight.burn_of(HOME).elapsed - 3600.0)
    one = next(iter(every.ways_out(point, "one engine lost")))
    lost = [x for x in every.ways_out(point, "main engine lost") if x.burns]
    key = ("service_module", "main")
    assert key not in [x.burns[0][1:3] for x in lost]
    with_one = [x for x in every.ways_out(point, "one engine lost") if x.burns[0][1:3] == key]
    assert len(with_one) == 1
    assert not with_one[0].closed or "control authority" in with_one[0].closed
    assert one.called == point.elapsed


def test_a_recovery_area_is_come_down_in(reference_landing):
    """Where the plan states an area, a return called off leads there as well."""
    area = {"name": "own", "latitude": "0 deg", "longitude": "-160 deg", "radius": "2500 km"}
    flight = mplan.fly(reference_landing.change("recovery", area)).flight
    point = CabinPoint(flight, "crew_module", flight.burn_of(HOME).elapsed - 5.0 * c.HOUR)
    best = every.ways_out(point, "called off")[0]
    assert not best.closed
    assert best.lands.longitude / c.DEG == pytest.approx(-160.0, abs=3.0)


def test_failures_that_take_the_same_engines_share_one_search(landing_plan):
    """Called off or leaking: the same ways, one by one; without the main engine others."""
    point = joined(landing_plan.flight)
    first, second, other = (
        every.ways_out(point, x) for x in ("called off", "cabin leaks", "main engine lost")
    )
    assert all(one is same for one, same in zip(first, second, strict=True))
    assert {x.name for x in other} < {x.name for x in first}


WEAK = in_parts.WeakEngine(8000.0, 310.0, 15000.0, 2000.0)
FORWARDS = in_parts.along_velocity(1.0)


def next_return(plan):
    """The return of the revolution ahead, in the time of flight of the plan."""
    point = joined(plan.flight)
    away = leaving.Leaving(
        point.flight, now.state_at(point), point.craft, point.before.orbit, point.before, 0.0
    )
    return return_targets.next_return(away, point.flight.scenario.dates.transearth_time)


def test_a_dearer_long_burn_is_given_up(landing_plan):
    """What lacks of the energy takes at least as much again: with less allowed it is not flown."""
    home = next_return(landing_plan)
    end, _ = in_parts._until_fast(home, WEAK, 0.5, FORWARDS, 900.0, np.inf)
    assert end.ideal > home.delta_v
    with pytest.raises(ArithmeticError, match="takes less"):
        in_parts._until_fast(home, WEAK, 0.5, FORWARDS, 900.0, home.delta_v)


def test_a_long_burn_does_not_hang_on_the_guess_at_its_time(landing_plan):
    """From guesses a minute apart it ends alike: 10 ms are 5 mm/s of what it gives."""
    home = next_return(landing_plan)
    lasts = [
        in_parts._until_fast(home, WEAK, 0.5, FORWARDS, guess, np.inf)[1]
        for guess in (900.0, 960.0)
    ]
    assert lasts[0] == pytest.approx(lasts[1], abs=0.01)


def test_in_a_fine_field_the_way_home_is_that_of_a_search_in_it(landing_plan):
    """Looked for in the smooth field and flown in the fine one: the burn of the slow search."""
    point = joined(landing_plan.flight)
    orbit = point.before.orbit._replace(degree=8)
    angle, lasts = point.flight.scenario.orbits.entry_angle, 80.0 * c.HOUR
    key = key_of(orbit)
    found = return_targets._homed(key, None, lasts, angle)
    slow = target_return(orbit, time_of_flight=lasts, entry_angle=angle)
    assert found.leaving.degree == 8
    assert found.delta_v == pytest.approx(slow.delta_v, abs=0.1)
    assert found.t == pytest.approx(slow.t, abs=20.0)
    assert found.interface.t == pytest.approx(slow.interface.t, abs=1.0)
    there = nbody.fly_arc(found.r, found.v, found.t, 2.0 * lasts, "earth", degree=8)
    assert flight_path_angle(there.r, there.v) == pytest.approx(angle, abs=1e-5)


def test_in_a_fine_field_a_tilted_plane_is_kept(landing_plan):
    """A return to a latitude of its own comes down there, whatever the field."""
    point = joined(landing_plan.flight)
    smooth = point.before.orbit._replace(degree=2)
    angle, lasts = point.flight.scenario.orbits.entry_angle, 80.0 * c.HOUR
    free = return_targets._homed(key_of(smooth), None, lasts, angle)
    latitude = splash_latitude(free.interface, 2.4e6)
    area = Goal(0.0, 2.4e6, latitude + 6.0 * c.DEG, 1.0 * c.DEG)
    found = return_targets._homed(key_of(smooth._replace(degree=8)), area, lasts, angle)
    there = splash_latitude(found.interface, 2.4e6)
    low, high = found.reach
    assert there == pytest.approx(min(high, area.wanted(latitude)), abs=0.2 * c.DEG)
    assert low < latitude + 1.0 * c.DEG
    assert found.least <= found.delta_v
