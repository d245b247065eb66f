"""Descent and lunar ascent within a mission: right place, right time, right orbit."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import solve_ivp

import mplan
from mplan.flight import burn as burn_file
from mplan.flight import descent as descent_leg
from mplan.flight.rendezvous import lead
from mplan.physics import constants as c
from mplan.physics.arcs import lunar_orbit
from mplan.physics.bodies import lunar_axes, selenography
from mplan.physics.burns import linear_tangent as lt
from mplan.physics.burns.linear_tangent import TangentSteering
from mplan.physics.landing.approach import gate_range


def leg(plan, name):
    return next(x for x in plan.burns if x.leg == name)


def moment(plan, kind):
    return next(x for x in plan.timeline if x.kind == kind)


def site_at(scenario, t):
    place = scenario.landing_site
    return selenography.site_position(place.latitude, place.longitude, t, place.elevation)


def seen_by(scenario, name):
    """Fly a scenario; return the state in which a leg begins, and the plan."""
    seen, leg_of = [], burn_file.LEGS[name]

    def note(state, burn, ahead):
        seen.append(state)
        return leg_of(state, burn, ahead)

    with pytest.MonkeyPatch.context() as patch:
        patch.setitem(burn_file.LEGS, name, note)
        plan = mplan.fly(scenario)
    return seen[0], plan


@pytest.fixture(scope="module")
def before(reference_landing):
    """The state in which the powered descent of the demo begins, and its plan."""
    return seen_by(reference_landing, "powered descent")


def steering(track):
    """The law's tangents from the first and last point of a braking."""
    ends = []
    for i in (0, -1):
        x, _, z = track.place[i]
        ahead = np.array([z, 0.0, -x]) / np.hypot(x, z)
        p = track.pointing[i]
        up = track.up[i]
        # p = k (-ahead + a up + s across)
        k = -(p @ ahead)
        ends.append(((p @ up) / k, (p[1] - (p @ up) * up[1]) / k))
    (a, s), (b, r) = ends
    time = track.t[-1] - track.t[0]
    return TangentSteering(-1.0, a, (b - a) / time, s, (r - s) / time)


def test_the_site_is_hit_in_axes_that_do_not_turn(before):
    """Trim and braking flown again by DOP853 in ICRF axes, the site from the IAU series.

    At the high gate, altitude and distance to where the site then is are those asked for: 5 m
    for the Moon's mean rate of turning, and for the steps of 25 s.
    """
    state, plan = before
    flown = plan.flight.end.descent
    orbit = lunar_orbit.coast(state.lander, state.t - state.lander.t)
    axes = lunar_axes.site_axes(site_at(plan.scenario, state.t), orbit.normal, state.t)
    orbit = lunar_orbit.coast(orbit, flown.late)
    t0 = state.t + flown.late
    braking, gate = flown.phase("braking"), flown.phase("approach")
    track = flown.track
    inside = track.between(braking.t + 1.0, gate.t - 1.0)  # where phases end there are two points
    main, begun = steering(inside), inside.t[0]
    engine = plan.scenario.elements["descent_stage"].engines["main"]
    pole = selenography.lunar_pole(state.t)

    def rates(t, y):
        r = y[:3]
        angle = -lunar_axes.RATE * (t + flown.late)
        fixed = axes.matrix @ rotated(r, pole, angle)
        law, since = (TangentSteering(-1.0), t) if t < braking.t else (main, t - begun)
        aimed = lt.direction((*fixed, 0.0, 0.0, 0.0), law, since)
        share = engine.throttle_min if t < braking.t else plan.scenario.descent.braking_throttle
        size = share * engine.thrust_vacuum / np.interp(t, track.t, track.mass)
        push = rotated(np.array(aimed) @ axes.matrix, pole, -angle)
        return np.concatenate([y[3:], -c.MU_MOON * r / np.linalg.norm(r) ** 3 + size * push])

    y = np.concatenate([orbit.r, orbit.v])
    for span in ((0.0, braking.t), (braking.t, gate.t)):
        y = solve_ivp(rates, span, y, "DOP853", rtol=1e-10, atol=1e-3, max_step=20.0).y[:, -1]
    site = site_at(plan.scenario, t0 + gate.t)
    altitude = np.linalg.norm(y[:3]) - np.linalg.norm(site)
    assert altitude == pytest.approx(plan.scenario.descent.high_gate_altitude, abs=5.0)
    angle = np.arccos(y[:3] @ site / np.linalg.norm(y[:3]) / np.linalg.norm(site))
    asked = gate_range(descent_leg.way(plan.scenario))
    assert angle * np.linalg.norm(y[:3]) == pytest.approx(asked, abs=20.0)


def rotated(vector, axis, angle):
    """Rodrigues' turn."""
    along = axis * (axis @ vector)
    return along + np.cos(angle) * (vector - along) + np.sin(angle) * np.cross(axis, vector)


def test_the_clock_of_the_landing(before):
    """Touchdown is ignition and the time flown; ignition follows perilune by some seconds."""
    state, plan = before
    descent = plan.flight.end.descent
    burn = leg(plan, "powered descent")
    assert burn.duration == pytest.approx(descent.duration)
    assert moment(plan, "land").elapsed == pytest.approx(burn.elapsed + burn.duration)
    assert burn.elapsed == pytest.approx(state.elapsed + descent.late)
    assert 0.0 < descent.late < 20.0


def test_the_lander_begins_at_its_perilune(before):
    """Powered descent begins 15 km up, where the descent orbit is lowest."""
    state, plan = before
    orbit = lunar_orbit.coast(state.lander, state.t - state.lander.t)
    low = np.linalg.norm(orbit.r) - c.R_MOON
    assert low == pytest.approx(plan.scenario.orbits.descent_perilune, abs=300.0)


def test_the_burns_are_flown(landing_plan):
    """Neither is an estimate, and what is needed is what was flown."""
    for name, flown in (
        ("powered descent", landing_plan.flight.end.descent),
        ("lunar ascent", landing_plan.flight.end.lunar_ascent),
    ):
        burn = leg(landing_plan, name)
        assert burn.estimate == ""
        assert burn.required == pytest.approx(flown.delta_v, abs=1e-6)
        assert burn.propellant == pytest.approx(flown.propellant, rel=1e-6)


@pytest.mark.parametrize(("plane", "off"), [("flown out", 0.0), ("left to the rendezvous", None)])
def test_the_insertion_orbit(reference_landing, plane, off):
    """Perilune and apolune are the scenario's; the plane is the ship's, or the site's own."""
    state, plan = seen_by(reference_landing.change("lunar_ascent.plane", plane), "rendezvous")
    orbits, end = plan.scenario.orbits, plan.flight.end
    orbit, burn = state.lander, leg(plan, "lunar ascent")
    low = np.linalg.norm(orbit.r) - c.R_MOON
    assert low == pytest.approx(orbits.ascent_perilune, abs=5.0)
    high = 2.0 * (orbit.a - c.R_MOON) - low
    assert high == pytest.approx(orbits.ascent_apolune, abs=100.0)
    ship = lunar_orbit.coast(state.orbit, orbit.t - state.t)
    apart = np.degrees(np.arccos(min(1.0, ship.normal @ orbit.normal)))
    lifted = end.lift_off + burn.elapsed
    lies = abs(np.degrees(ship.angle_off(site_at(plan.scenario, lifted))))
    assert apart == pytest.approx(lies if off is None else off, abs=0.03)
    assert ("flown out" if off == 0.0 else "left to the rendezvous") in burn.note


def test_lift_off_after_the_ships_pass(reference_landing):
    """Two minutes after the pass the ship stands two minutes of its orbit past the site."""
    state, plan = seen_by(
        reference_landing.change("lunar_ascent.after_pass", "2 min"), "rendezvous"
    )
    burn = leg(plan, "lunar ascent")
    ship = lunar_orbit.coast(state.orbit, burn.elapsed - state.elapsed)
    over = ship.angle_to(site_at(plan.scenario, ship.t))
    assert 2.0 * np.pi - over == pytest.approx(2.0 * np.pi * 120.0 / ship.period, abs=1e-3)


def test_lift_off_waits_for_the_ship(reference_landing):
    """Left to itself, it puts the ship as far ahead at insertion as the rendezvous requires."""
    state, plan = seen_by(reference_landing, "rendezvous")
    ship = lunar_orbit.coast(state.orbit, state.lander.t - state.t)
    ahead = ship.angle_to(state.lander.r)
    assert 2.0 * np.pi - ahead == pytest.approx(lead(plan.scenario), abs=2e-3)


def test_more_hover_costs_gravity(reference_landing, landing_plan):
    """Thirty seconds more of hover cost thirty seconds of lunar gravity."""
    longer = mplan.fly(reference_landing.change("descent.hover_time", "45 s"))
    more = leg(longer, "powered descent").required - leg(landing_plan, "powered descent").required
    assert more == pytest.approx(30.0 * c.MU_MOON / c.R_MOON**2, rel=0.01)


def test_a_coast_down_before_the_burn_that_leads_down(reference_landing):
    """Nothing is flown: the event is told."""
    index = next(i for i, x in enumerate(reference_landing.events) if x.title == "descent coast")
    burn, coast = reference_landing.events[index - 1 : index + 1]
    assert burn.leg == "descent-orbit insertion"
    swapped = {
        f"events.{index - 1}": {"do": "coast", "leg": coast.leg},
        f"events.{index}": {"do": "burn", "leg": burn.leg, "element": burn.element},
    }
    plan = mplan.fly(reference_landing.change(swapped))
    assert f"events.{index - 1}: descent coast comes before descent-orbit insertion" in plan.verdict


def test_too_weak_to_land_is_told(reference_landing):
    """A thrust below the weight ends in a sentence, not in an error."""
    weak = mplan.fly(
        reference_landing.change("elements.descent_stage.engines.main.thrust_vacuum", "12 kN")
    )
    assert "does not carry the weight" in leg(weak, "powered descent").trouble
    assert weak.flight.end.descent is None


def test_too_weak_to_lift_is_told(reference_landing):
    """So does an ascent stage that does not lift."""
    weak = mplan.fly(
        reference_landing.change("elements.ascent_stage.engines.main.thrust_vacuum", "8 kN")
    )
    assert "does not lift a weight of" in leg(weak, "lunar ascent").trouble
