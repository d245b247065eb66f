"""After the Moon: who corrects, what happens uncorrected, home sooner, a return burn cut short."""

from __future__ import annotations

import numpy as np
import pytest

from mplan.contingencies.ways_out import every
from mplan.contingencies.ways_out.on_the_way_home import arc_home, cut_short
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.physics import constants as c
from mplan.physics.arcs import nbody
from mplan.physics.arcs.homeward import flight_path_angle
from mplan.vehicle.same import Same

HOME = "trans-Earth injection"


def after_burn(flight, later: float) -> CabinPoint:
    """A time [s] after the return burn's cut-off."""
    burn = flight.burn_of(HOME)
    return CabinPoint(flight, "crew_module", burn.elapsed + burn.duration + later)


def during(flight, share: float) -> CabinPoint:
    """A share of the way through the return burn."""
    burn = flight.burn_of(HOME)
    return CabinPoint(flight, "crew_module", burn.elapsed + share * burn.duration)


def test_thrusters_correct_in_place_of_the_main_engine(landing_plan):
    """The correction is the plan's; the splash stays where it is."""
    flight = landing_plan.flight
    ways = every.ways_out(after_burn(flight, 3600.0), "main engine lost")
    best, planned = ways[0], flight.burn_of("homeward correction")
    assert best.burns[0].engine != planned.engine
    assert best.burns[0].required == planned.required
    assert best.home == pytest.approx(flight.splash.t - flight.end.lift_off)
    assert best.lands.longitude == flight.splash.longitude


def test_uncorrected_the_aim_is_lost(landing_plan):
    """A few metres a second a day after the burn move the entry out of its corridor."""
    flight = landing_plan.flight
    ways = every.ways_out(after_burn(flight, 3600.0), "called off")
    shut = next(x for x in ways if x.name == "return as planned, uncorrected")
    steep, shallow = arc_home.angles_without(flight, flight.burn_of("homeward correction"))
    aimed = landing_plan.scenario.orbits.entry_angle
    assert steep < aimed - 0.5 * c.DEG
    assert shallow > aimed + 0.5 * c.DEG
    assert "the corridor is" in shut.closed


def test_a_smaller_error_moves_the_angle_by_as_much_less(landing_plan):
    """To first order the angle's error is as large as the burn's."""
    flight = landing_plan.flight
    planned = flight.burn_of("homeward correction")
    aimed = flight_path_angle(flight.end.homeward.interface.r, flight.end.homeward.interface.v)
    once, twice = (
        arc_home._angles(Same(flight), planned.elapsed, size)[0] - aimed for size in (0.1, 0.2)
    )
    assert twice == pytest.approx(2.0 * once, rel=0.05)
    assert abs(once) > 0.01 * c.DEG


def test_home_sooner_is_sooner(landing_plan):
    """What is left in the tanks buys hours; the arc meets the air at the plan's angle."""
    flight = landing_plan.flight
    ways = every.ways_out(after_burn(flight, 6.0 * c.HOUR), "called off")
    found = next(x for x in ways if x.name.startswith("faster return"))
    planned = flight.splash.t - flight.end.lift_off
    assert found.home < planned - c.HOUR
    assert found.margin > 0.0
    arc = found.arcs[0]
    end = nbody.fly_arc(arc.r, arc.v, arc.begin, 8 * c.DAY, "earth", back_end="dop853")
    aimed = landing_plan.scenario.orbits.entry_angle
    assert flight_path_angle(end.r, end.v) == pytest.approx(aimed, abs=0.05 * c.DEG)


def test_a_whole_burn_integrated_leads_where_the_plan_does(landing_plan):
    """Stopped at its planned cut-off, it is on the planned arc within some metres a second."""
    flight = landing_plan.flight
    burn, home = flight.burn_of(HOME), flight.end.homeward
    end = cut_short.stopped(Same(home), Same(burn), burn.elapsed + burn.duration)
    planned = nbody.fly_arc(home.r, home.v, home.t, end.t - home.t)
    assert np.linalg.norm(end.v - planned.v) < 5.0
    assert np.linalg.norm(end.r - planned.r) < 5e3


@pytest.mark.parametrize("share", [0.2, 0.5])
def test_early_the_moon_keeps_it(landing_plan, share):
    """Half of the burn leaves an ellipse, and what has been given is no more to be given."""
    flight = landing_plan.flight
    burn = flight.burn_of(HOME)
    ways = every.ways_out(during(flight, share), "main engine lost")
    assert ways
    assert all("stopped in an orbit of" in x.note for x in ways)
    assert all((burn.element, burn.engine) != x.burns[0][1:3] for x in ways)
    gone = share * burn.required
    for each in ways:
        assert burn.required - gone - 60.0 < each.required < burn.required - gone + 150.0


def test_late_one_burn_mends_the_arc(landing_plan):
    """In its last seconds the arc escapes; a burn of some ten metres a second mends it."""
    flight = landing_plan.flight
    burn = flight.burn_of(HOME)
    share = 1.0 - 3.0 / burn.duration
    ways = every.ways_out(during(flight, share), "main engine lost")
    best = ways[0]
    assert best.name.startswith("midcourse correction")
    missing = 3.0 / burn.duration * burn.required
    assert 0.5 * missing < best.burns[0].required < 4.0 * missing
    arc = best.arcs[-1]
    end = nbody.fly_arc(arc.r, arc.v, arc.begin, 8 * c.DAY, "earth", back_end="dop853")
    assert end.stop == "entry interface"


def test_called_off_in_the_burn_it_burns_on(landing_plan):
    """The way home is the plan's: what is left of its burn."""
    flight = landing_plan.flight
    burn = flight.burn_of(HOME)
    best = every.ways_out(during(flight, 0.75), "called off")[0]
    assert 0.25 * burn.required < best.required < 0.3 * burn.required  # lighter, it gains faster
    assert best.margin == pytest.approx(burn.available - burn.required)


def test_after_the_last_burn_its_engine_is_the_one_lost(landing_plan):
    """No burn is left, so that none is missed: home as planned, no engine of that name used."""
    flight = landing_plan.flight
    last = [x for x in flight.burns if x.lit][-1]
    point = CabinPoint(flight, "crew_module", last.elapsed + last.duration + 7200.0)
    ways = every.ways_out(point, "main engine lost")
    assert ways[0].name == "return as planned"
    assert ways[0].margin is None
    assert (last.element, last.engine) not in [x.burns[0][1:3] for x in ways if x.burns]


def test_round_the_moon_no_burn_led_home(flyby_plan):
    """After perilune of a flyby the arc home is the one it is on."""
    flight = flyby_plan.flight
    arc = arc_home.arc_home(flight)
    assert arc.begin.t == flight.end.outbound.perilune.t
    elapsed = arc.begin.t + 12.0 * c.HOUR - flight.end.lift_off
    best = every.ways_out(CabinPoint(flight, "crew_module", elapsed), "main engine lost")[0]
    assert not best.closed
    assert best.home == pytest.approx(flight.splash.t - flight.end.lift_off)
