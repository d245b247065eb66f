"""The walk from lift-off to splash: masses, counters and clocks that add up by hand."""

from __future__ import annotations

from itertools import pairwise
from math import exp

import numpy as np
import pytest

import mplan
from mplan.physics import constants as c
from mplan.physics.arcs import nbody
from mplan.physics.constants import G0
from mplan.vehicle import ledger, mass
from mplan.vehicle.boil_off import losses


def named(plan: mplan.Plan, name: str):
    return next(burn for burn in plan.burns if burn.name == name)


def moment(plan: mplan.Plan, name: str):
    return next(x for x in plan.timeline if x.event == name)


def test_time_never_runs_backwards(any_plan):
    """Events follow one another on the clock, in every profile."""
    times = [x.elapsed for x in any_plan.timeline]
    assert times[0] == 0.0
    assert times == sorted(times)


def test_one_burn_ends_before_the_next_begins(any_plan):
    """No engine is lit while another burns."""
    burns = any_plan.burns
    assert all(
        first.elapsed + first.duration <= then.elapsed + 1e-6 for first, then in pairwise(burns)
    )


def test_every_burn_obeys_the_rocket_equation(any_plan):
    """Propellant drawn is what Tsiolkovsky asks for the delta-v needed at that mass.

    The climb's own burns lose mass on the way and are weighed in tests/flight/test_ascent.py.
    """
    for burn in any_plan.burns:
        if burn.leg == "climb":
            continue
        isp = any_plan.scenario.elements[burn.element].engines[burn.engine].isp_vacuum
        asked = burn.mass * (1.0 - exp(-burn.required / (isp * G0)))
        assert burn.propellant == pytest.approx(asked, rel=1e-9)


def test_qualified_duration_is_propellant_over_flow(any_plan):
    """Duration times mass flow is the propellant drawn, but where the engine throttles."""
    for burn in any_plan.burns:
        if burn.leg in ("climb", "powered descent"):
            continue
        engine = any_plan.scenario.elements[burn.element].engines[burn.engine]
        flow = ledger.thrust(engine) / (engine.isp_vacuum * G0)
        assert burn.duration * flow == pytest.approx(burn.propellant, rel=1e-9)


def test_margin_is_what_is_left_in_the_tank(any_plan):
    """After an engine's last burn, the delta-v still in its tanks is margin and reserve."""
    last = {(burn.element, burn.engine): burn for burn in any_plan.burns}
    for (element, name), burn in last.items():
        if burn.burns_out:
            continue
        engine = any_plan.scenario.elements[element].engines[name]
        left = _with_later_boil_off(any_plan, burn).usable(element, engine)
        after = burn.mass - burn.propellant
        still = engine.isp_vacuum * G0 * np.log(after / (after - left))
        assert still == pytest.approx(burn.margin + burn.reserved, abs=1e-6)


def _with_later_boil_off(plan: mplan.Plan, burn) -> ledger.Ledger:
    """Return the last ledger with what boiled off after a burn put back: rate by time."""
    end, scenario = plan.flight.end.ledger, plan.scenario
    gone = next((x for x in plan.timeline if x.event.startswith("jettison transfer")), None)
    if burn.element != "transfer_stage":
        return end
    later = gone.elapsed - (burn.elapsed + burn.duration / 2.0)
    back = {key: -loss for key, loss in losses(scenario, [burn.element], later).items()}
    return end.after_boil_off(back)


def test_propellant_goes_nowhere_but_through_engines(any_plan):
    """What was loaded is burned, settles, boils off or is left, element by element."""
    start, end = ledger.filled(any_plan.scenario), any_plan.flight.end.ledger
    for name in any_plan.scenario.stack:
        burned = sum(burn.propellant for burn in any_plan.burns if burn.element == name)
        settling = [burn.settling for burn in any_plan.burns if burn.settling]
        burned += sum(x.propellant for x in settling if x.element == name)
        burned += end.boiled_off(name)
        assert start.propellant(name) - end.propellant(name) == pytest.approx(burned, abs=1e-6)


def test_starts_are_counted(landing_plan):
    """The service module's engine is lit for each of its five burns, in order."""
    lit = [burn.start for burn in landing_plan.burns if burn.element == "service_module"]
    assert lit == [1, 2, 3, 4, 5]


def test_dropping_an_element_takes_its_mass_away(landing_plan):
    """The stack weighs a first stage less after staging: dry, with growth, and residuals."""
    burn = named(landing_plan, "first-stage climb")
    left = burn.mass - burn.propellant
    scenario, end = landing_plan.scenario, landing_plan.flight.end.ledger
    stage = mass.dry(scenario.elements["first_stage"], scenario) + end.propellant("first_stage")
    assert moment(landing_plan, "jettison first stage").mass == pytest.approx(left - stage)


def test_lander_and_ship_add_up(landing_plan):
    """Undocking splits craft and mass; what thrusters and crew took meanwhile is all else."""
    undocking = next(x for x in landing_plan.flight.passages if x.event.do == "undock")
    before, after, scenario = undocking.before, undocking.after, landing_plan.scenario
    joined = before.joined("crew_module")
    parts = [after.joined(name) for name in ("ascent_stage", "crew_module")]
    assert sorted(joined) == sorted(parts[0] + parts[1])

    def drawable(state):
        stores = (state.ledger.stores(x, scenario.elements[x]) for x in joined)
        return sum(stores) + sum(state.ledger.propellant(x) for x in joined)

    taken = drawable(before) - drawable(after)
    assert 0.0 <= taken < 30.0
    assert sum(after.mass(each) for each in parts) + taken == pytest.approx(before.mass(joined))


def test_the_lander_coasts_down_not_the_ship(landing_plan):
    """Between its two burns it is the lander that falls towards the Moon."""
    assert moment(landing_plan, "descent coast").craft == ("descent_stage", "ascent_stage")


def test_payload_stays_down_and_samples_come_home(reference_landing, landing_plan):
    """A heavier payload weighs on the descent, not on the ascent; samples the other way.

    To 0.05 kg: the ascent stage's thrusters settle a heavier lander a moment longer.
    """
    heavy = mplan.fly(reference_landing.change("mission.payload_down", "300 kg"))
    full = mplan.fly(reference_landing.change("mission.payload_up", "110 kg"))
    assert named(heavy, "powered descent").mass > named(landing_plan, "powered descent").mass + 49
    assert named(heavy, "lunar ascent").mass == pytest.approx(
        named(landing_plan, "lunar ascent").mass, abs=0.05
    )
    assert named(full, "lunar ascent").mass == pytest.approx(
        named(landing_plan, "lunar ascent").mass + 50.0
    )
    home = [moment(x, "splashdown").mass for x in (landing_plan, full)]
    assert home[1] - home[0] == pytest.approx(50.0)


def test_a_change_at_the_bottom_is_felt_in_lunar_orbit(reference_landing, landing_plan):
    """Mass growth lowers every margin that is left."""
    grown = mplan.fly(reference_landing.change("margins.mass_growth", "6 %"))
    for name in ("translunar injection", "trans-Earth injection", "powered descent"):
        assert named(grown, name).margin < named(landing_plan, name).margin


def test_the_same_scenario_gives_the_same_plan(reference_landing, landing_plan):
    """Flying is a function: nothing is remembered from flight to flight."""
    again = mplan.fly(reference_landing)
    assert again.burns == landing_plan.burns
    assert again.timeline == landing_plan.timeline


def test_asked_for_times_and_heights_are_flown(landing_plan):
    """Translunar and transearth times, perilune and entry angle are those of the scenario."""
    scenario, end = landing_plan.scenario, landing_plan.flight.end
    out, home = end.outbound, end.homeward
    assert out.perilune.t - out.injection == pytest.approx(scenario.dates.translunar_time, abs=0.01)
    perilune = np.linalg.norm(out.perilune.lunar_r) - c.R_MOON
    assert perilune == pytest.approx(scenario.orbits.lunar_altitude, abs=10.0)
    assert home.interface.t - home.t == pytest.approx(scenario.dates.transearth_time, abs=0.1)
    assert home.flight_path_angle == pytest.approx(scenario.orbits.entry_angle, abs=1e-6)


def test_lift_off_is_on_the_day(any_plan):
    """The clock time follows from Moon and azimuth; the day is the planner's."""
    assert any_plan.flight.utc(0.0).date() == any_plan.scenario.dates.launch_day


def test_the_parking_orbit_is_flown_over_the_launch_site(landing_plan):
    """At lift-off the orbit's plane passes over the pad, to the node's drift before injection.

    J2 turns the plane by 0.3 deg/h westwards; the pad is compared with the plane as it will be
    at injection, so half a degree is physics, more would be a wrong plane.
    """
    from mplan.physics.bodies import earth

    out = landing_plan.flight.end.outbound
    site = landing_plan.scenario.launch_site
    normal = np.cross(out.r, out.v)
    normal /= np.linalg.norm(normal)
    latitude = earth.geocentric_latitude(site.latitude)
    fixed = np.array(
        [
            np.cos(latitude) * np.cos(site.longitude),
            np.cos(latitude) * np.sin(site.longitude),
            np.sin(latitude),
        ]
    )
    pad = earth.earth_fixed_axes(out.lift_off).T @ fixed
    assert abs(np.degrees(np.arcsin(normal @ pad))) < 0.5


def test_the_lander_comes_down_in_the_ships_plane(landing_plan):
    """The approach is chosen so that the site lies under the orbit at landing.

    What is left is the guess of the landing time (an hour at most, 0.5 deg of lunar rotation,
    nearly along the track here) and J2's turn of the node in it.
    """
    losses = named(landing_plan, "powered descent").losses
    assert losses["plane"] < 5.0


@pytest.mark.parametrize("back_end", nbody.back_ends())
def test_the_arcs_can_be_flown_again(landing_plan, back_end):
    """From the state after each burn either integrator arrives where and when the plan says.

    1 km and 1 s: the two differ in how they know the Moon (30 m), which a passage at 110 km
    enlarges a few times.
    """
    end = landing_plan.flight.end
    out, home = end.outbound, end.homeward
    there = nbody.fly_arc(out.r, out.v, out.injection, 5 * c.DAY, "perilune", back_end=back_end)
    assert there.t == pytest.approx(out.perilune.t, abs=1.0)
    heights = [np.linalg.norm(x.lunar_r) for x in (there, out.perilune)]
    assert heights[0] == pytest.approx(heights[1], abs=1000.0)
    back = nbody.fly_arc(home.r, home.v, home.t, 6 * c.DAY, "earth", back_end=back_end)
    assert back.stop == "entry interface"
    assert back.t == pytest.approx(home.interface.t, abs=1.0)


def test_crew_time_adds_up(any_plan):
    """Everybody is somewhere from lift-off to splash."""
    lived = sum(x.crew * x.duration for x in any_plan.flight.stretches)
    expected = any_plan.scenario.mission.crew * any_plan.flight.duration
    assert lived == pytest.approx(expected, rel=1e-9)
