"""Ways out on the way to the Moon: turned back, round it, and out of part of an insertion."""

from __future__ import annotations

from math import radians

import numpy as np
import pytest

import mplan
from mplan.contingencies.ways_out import every
from mplan.contingencies.ways_out.at_the_moon.leaving import READY
from mplan.contingencies.ways_out.burners import NOTHING
from mplan.contingencies.ways_out.outbound import round_the_moon, to_the_moon
from mplan.contingencies.ways_out.outbound.on_the_way import INJECTION, INSERTION, on_the_way
from mplan.contingencies.ways_out.outbound.part_of_insertion import time_to_ground
from mplan.contingencies.ways_out.outbound.pushed_home import pushing
from mplan.contingencies.ways_out.outbound.turning_back import entry_angle
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.physics import constants as c
from mplan.physics.arcs import nbody
from mplan.physics.arcs.homeward import flight_path_angle
from mplan.physics.circumlunar.flyby_return import return_around
from mplan.physics.circumlunar.hastened_return import hastened_return
from mplan.physics.targeting import NoArc
from mplan.physics.twobody import conic
from tests.conftest import MISSIONS

OTHER = nbody.back_ends()[-1]


def after_injection(flight, hours: float) -> CabinPoint:
    burn = flight.burn_of(INJECTION)
    return CabinPoint(flight, "crew_module", burn.elapsed + burn.duration + hours * c.HOUR)


def within(flight, leg: str, share: float) -> CabinPoint:
    burn = flight.burn_of(leg)
    return CabinPoint(flight, "crew_module", burn.elapsed + share * burn.duration)


def found(point: CabinPoint, failure: str, name: str):
    return next(x for x in every.ways_out(point, failure) if x.name.startswith(name))


def way_angle(point, way, end) -> float:
    """What a way is aimed for: turned back, less than from the Moon where it is slower."""
    if way.name.startswith("direct"):
        return entry_angle(point.flight.scenario, float(np.linalg.norm(end.v)))
    return point.flight.scenario.orbits.entry_angle


@pytest.mark.parametrize("hours", [3.0, 30.0, 60.0])
def test_a_way_ends_where_its_last_arc_leads(landing_plan, hours):
    """Flown again from its last cut-off by the other integrator: the entry that was aimed for.

    To 0.15 deg, which is a metre at the Moon of the ways that go round it.
    """
    point = after_injection(landing_plan.flight, hours)
    for way in every.ways_out(point, "called off"):
        if way.closed:
            continue
        last = way.arcs[-1]
        end = nbody.fly_arc(
            last.r, last.v, last.begin, last.end - last.begin + c.DAY, "earth", back_end=OTHER
        )
        assert end.stop == "entry interface", way.name
        aimed = way_angle(point, way, end)
        assert flight_path_angle(end.r, end.v) == pytest.approx(aimed, abs=radians(0.15)), way.name
        assert end.t == pytest.approx(last.end, abs=30.0)
        assert 0.0 < way.home - (last.end - landing_plan.flight.end.lift_off) < 0.6 * c.HOUR


def test_open_ways_have_what_they_take(landing_plan):
    for hours in (2.0, 40.0, 65.0):
        point = after_injection(landing_plan.flight, hours)
        for way in every.ways_out(point, "called off"):
            assert way.closed or way.margin >= 0.0
            assert all(burn.elapsed >= point.elapsed for burn in way.burns)
            assert way.called == point.elapsed


def test_the_later_the_longer(landing_plan):
    """With all that the ship has, the way back is the longer the further out it turns."""
    flight = landing_plan.flight
    homes = []
    for hours in (2.0, 10.0, 25.0, 45.0):
        point = after_injection(flight, hours)
        way = found(point, "called off", "direct return by service module, main")
        homes.append(way.home - point.elapsed)
    assert homes == sorted(homes)


def test_main_engine_lost_leaves_the_lander(landing_plan):
    """The lander's engines push the ship from its nose; the ascent stage's after the other left."""
    point = after_injection(landing_plan.flight, 20.0)
    lost = point.next_burn
    ways = every.ways_out(point, "main engine lost")
    burning = {(x.burns[0].element, x.burns[0].engine) for x in ways if x.burns}
    assert (lost.element, lost.engine) not in burning
    lander = next(x for x in ways if x.name == "flyby return by descent stage, main")
    assert not lander.closed
    assert set(lander.craft) == set(point.craft)
    upper = next(x for x in ways if x.name == "flyby return by ascent stage, main")
    assert "descent_stage" not in upper.craft
    assert "descent stage dropped before" in upper.note


def test_what_an_engine_pushes_decides_what_it_has(landing_plan):
    """Without the lander the ship has more than with it."""
    way = on_the_way(after_injection(landing_plan.flight, 20.0), NOTHING)
    for light, whole in pushing(way):
        if light.burner.key == ("service_module", "main"):
            assert set(light.kept) < set(whole.kept)
            assert light.available > 1.5 * whole.available
            break
    else:
        pytest.fail("the ship's engine is not told of")


def test_inside_a_housing_an_engine_is_told_to_be_blocked(landing_plan):
    """Until the lander is pulled out of its bay nothing of it can burn."""
    point = within(landing_plan.flight, INJECTION, 0.9)
    blocked = [x for x in every.ways_out(point, "called off") if "stands inside" in x.closed]
    assert {x.name for x in blocked} == {
        "return by descent stage, main",
        "return by ascent stage, main",
    }
    assert all("lander bay" in x.closed for x in blocked)


def test_cut_off_at_its_end_the_injection_is_that_of_the_plan(landing_plan):
    """The same energy to 6 kJ/kg, which is 0.6 m/s, and within 120 km of the plan's arc.

    The plan's burn is an impulse with a loss, along whose arc nobody was before its middle; the
    parking orbit is a mean one, whose real speed ripples by some m/s with Earth's oblateness.
    """
    flight = landing_plan.flight
    burn, out = flight.burn_of(INJECTION), flight.end.outbound
    t = burn.elapsed + burn.duration
    real = on_the_way(CabinPoint(flight, "crew_module", t - 0.01), NOTHING).now
    plan = nbody.fly_arc(out.r, out.v, out.injection, flight.end.lift_off + t - out.injection)
    energies = [float(x.v @ x.v) / 2.0 - c.MU_EARTH / np.linalg.norm(x.r) for x in (real, plan)]
    assert energies[0] == pytest.approx(energies[1], abs=6e3)
    assert np.linalg.norm(real.r - plan.r) < 120e3


def test_cut_off_early_the_injection_leaves_an_ellipse_to_come_home_from(landing_plan):
    """Half-way through it is an ellipse; each engine that is left leads home within a day."""
    point = within(landing_plan.flight, INJECTION, 0.6)
    way = found(point, "main engine lost", "direct return by service module, main, least")
    assert not way.closed
    assert way.home - point.elapsed < c.DAY
    assert "injection cut off after" in way.note


def test_drawn_while_it_burns(landing_plan):
    """What a burn has drawn half-way is half of what it draws."""
    flight = landing_plan.flight
    burn = flight.burn_of(INJECTION)
    way = on_the_way(within(flight, INJECTION, 0.5), NOTHING)
    drawn = burn.mass - way.state.mass(burn.craft)
    assert drawn == pytest.approx(burn.propellant / 2.0, rel=1e-6)


def test_insertion_at_every_stopping_time(landing_plan):
    """From an arc that goes on, over far ellipses to the orbit of the plan; each leads home."""
    flight = landing_plan.flight
    told = []
    for share in (0.05, 0.4, 0.7, 0.95):
        point = within(flight, INSERTION, share)
        ways = every.ways_out(point, "main engine lost")
        assert any(not way.closed for way in ways), share
        told.append(ways[0].note.split(";")[0])
    assert told[0] == "insertion cut off: an arc past the Moon that comes back to Earth"
    assert all(each.startswith("insertion cut off: an orbit from") for each in told[2:])


def test_cut_off_at_its_end_the_insertion_is_that_of_the_plan(landing_plan):
    """The orbit that is left has the apsides of the plan's, to 20 km of the lower one."""
    flight = landing_plan.flight
    burn = flight.burn_of(INSERTION)
    wanted = burn.at_cut_off.moon.orbit
    now = on_the_way(within(flight, INSERTION, 0.9999), NOTHING).now
    moon = nbody.fly_arc(now.r, now.v, now.t, 0.0)
    left = conic(moon.lunar_r, moon.lunar_v, c.MU_MOON)
    assert left.periapsis == pytest.approx(wanted.a * (1.0 - wanted.e), abs=20e3)
    assert left.a == pytest.approx(wanted.a, rel=0.03)


def test_time_to_the_ground():
    """A fall from rest 100 km up: sqrt(2 h / g) of a level field, a little more in a real one."""
    r = np.array([c.R_MOON + 100e3, 0.0, 0.0])
    fall = time_to_ground(conic(r, np.array([0.0, 1.0, 0.0]), c.MU_MOON), float(r[0]))
    level = (2.0 * 100e3 / (c.MU_MOON / c.R_MOON**2)) ** 0.5
    assert level < fall < 1.1 * level
    circle = np.array([0.0, (c.MU_MOON / r[0]) ** 0.5 * 1.001, 0.0])
    assert time_to_ground(conic(r, circle, c.MU_MOON), float(r[0])) == np.inf


def test_a_flyby_comes_home_with_thrusters_alone(flyby_plan):
    """A free return needs next to nothing once its main engine is lost."""
    point = after_injection(flyby_plan.flight, 30.0)
    way = found(point, "main engine lost", "flyby return by service module, thrusters")
    assert not way.closed
    assert way.required < 1.0


@pytest.mark.parametrize("late", [-500.0, -60.0, 0.0, 500.0, 700.0])
def test_called_too_late_for_a_trim_the_burn_waits_for_the_moon(flyby_plan, late):
    """Ready within ten minutes of the perilune, thrusters burn once that is passed, as after it."""
    flight = flyby_plan.flight
    past = flight.end.outbound.perilune.t - flight.end.lift_off
    point = CabinPoint(flight, "crew_module", past - READY - late)
    ways = [x for x in every.ways_out(point, "main engine lost") if not x.closed]
    assert ways
    burns = [each for way in ways for each in way.burns]
    if late < 600.0:
        assert {x.what for x in burns} == {round_the_moon.HASTE}
        assert all(x.elapsed >= past - 1.0 for x in burns)
    else:
        assert all(x.elapsed < past for x in burns if x.what == round_the_moon.TRIM)


def test_a_recovery_area_times_the_direct_return(reference_landing):
    """Turned back it comes down at the area's longitude, to 1 deg."""
    point = after_injection(splashing_at(reference_landing, "100 deg"), 15.0)
    way = found(point, "called off", "direct return by service module, main")
    assert not way.closed
    assert way.lands.longitude == pytest.approx(radians(100.0), abs=radians(1.0))
    assert "east" in way.note


def test_nothing_is_flown_twice(landing_plan):
    """Failures that leave all engines share their ways."""
    point = after_injection(landing_plan.flight, 12.0)
    first, second = (list(to_the_moon.ways(point, x)) for x in ("called off", "cabin leaks"))
    assert all(one is other for one, other in zip(first, second, strict=True))


def test_what_another_failure_leaves_is_not_solved_again(landing_plan, monkeypatch):
    """With one main engine lost the others lead home as before: by the very arcs found then."""
    solved = []

    def counted(here, size, angle):
        solved.append((here.t, size))
        return hastened_return(here, size, angle)

    monkeypatch.setattr(round_the_moon, "hastened_return", counted)
    flight = landing_plan.flight
    point = CabinPoint(flight, "crew_module", 31.5 * c.HOUR)
    every.ways_out(point, "called off")
    first = len(solved)
    every.ways_out(point, "main engine lost")
    assert first > 0
    assert len(solved) == first


def test_before_and_after_a_hybrid_transfer(reference_landing):
    """On the free return it comes home with next to no trim; once it is left, with one."""
    hybrid = {"orbits.translunar_arc": "hybrid", "events": None}
    flight = mplan.fly(reference_landing.change(hybrid)).flight
    leaves = flight.end.departing.transfer.t - flight.end.lift_off
    trims = []
    for elapsed in (leaves - 5.0 * c.HOUR, leaves + 5.0 * c.HOUR):
        point = CabinPoint(flight, "crew_module", elapsed)
        way = found(point, "called off", "flyby return by service module, main")
        assert not way.closed
        trims.append(way.required)
    assert trims[0] < 0.5 < trims[1]


def past_a_pole(translunar_time: str):
    """The arc of a mission that passes the Moon over a pole."""
    mission = mplan.load(MISSIONS / "polar_landing.toml")
    flight = mplan.fly(mission.change("dates.translunar_time", translunar_time)).flight
    return flight.end.outbound, flight.scenario.orbits.entry_angle


@pytest.mark.parametrize("hours", [2.0, 14.0, 25.0])
def test_past_a_pole_of_the_moon_there_is_a_flyby_home(hours):
    """An arc that a pass over the pole throws out is trimmed to one home within nine days."""
    out, angle = past_a_pole("76 h")
    there = nbody.fly_arc(out.r, out.v, out.injection, hours * c.HOUR)
    here = nbody.ArcStart(there.r, there.v, there.t, 0.0)
    trim = return_around(here, angle).trim
    assert trim.delta_v < 150.0
    assert trim.interface.t - here.t < 9.0 * c.DAY


def test_too_slow_past_the_moon_nothing_leads_home():
    """At 96 h the Moon is met slower than it goes round Earth, less than a return may keep of that.

    Whichever way the passage turns it, the arc keeps more angular momentum than an entry has.
    """
    out, angle = past_a_pole("96 h")
    there = out.perilune
    h = np.linalg.norm(there.moon_r) * (np.linalg.norm(there.moon_v) - out.asymptote.v_inf)
    assert h > 7.1e10  # m2/s, with which an arc from there meets the air
    begin = nbody.fly_arc(out.r, out.v, out.injection, 14.0 * c.HOUR)
    with pytest.raises(NoArc, match="no passage of the Moon"):
        return_around(nbody.ArcStart(begin.r, begin.v, begin.t, 0.0), angle)


def splashing_at(scenario, longitude: str):
    """The flight with a recovery area on the equator."""
    area = {"name": "east", "latitude": "0 deg", "longitude": longitude, "radius": "900 km"}
    return mplan.fly(scenario.change({f"recovery.{key}": x for key, x in area.items()})).flight


def test_a_recovery_area_times_the_flyby_return(reference_landing):
    """Round the Moon it comes down at the area's longitude, for little: half a day off at most."""
    free = mplan.fly(reference_landing).flight
    name, there = "flyby return by service module, thrusters", radians(10.0)
    before = found(after_injection(free, 40.0), "called off", name)
    flight = splashing_at(reference_landing, "10 deg")
    way = found(after_injection(flight, 40.0), "called off", name)
    assert not way.closed
    assert abs(before.lands.longitude - there) > radians(20.0)
    assert way.lands.longitude == pytest.approx(there, abs=radians(1.0))
    assert abs(way.home - before.home) < 12.5 * c.HOUR
    assert before.required < way.required < before.required + 20.0
    arc = way.arcs[-1]
    end = nbody.fly_arc(arc.r, arc.v, arc.begin, 2.0 * (arc.end - arc.begin), "earth")
    assert end.stop == "entry interface"
    assert end.t == pytest.approx(arc.end, abs=1.0)


def test_a_flyby_without_the_velocity_for_it_is_not_timed(reference_landing):
    """Thrusters that have enough to come home, and too little for the area, say where they do."""
    flight = splashing_at(reference_landing, "10 deg")
    point = after_injection(flight, 55.0)
    weak = found(point, "called off", "flyby return by crew module, thrusters")
    timed = found(point, "called off", "flyby return by service module, thrusters")
    assert not weak.closed
    assert weak.required < weak.burns[0].available < timed.required
    assert abs(weak.lands.longitude - radians(10.0)) > radians(20.0)
    assert "km from the middle of east" in weak.note
