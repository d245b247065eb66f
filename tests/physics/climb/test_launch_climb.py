"""The flown climb: against an independent integrator, its own sums, and what cannot fly."""

from __future__ import annotations

from dataclasses import replace
from math import inf, radians

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from mplan.physics import constants as c
from mplan.physics.climb import guidance, launch_climb, optimum, profile
from mplan.physics.climb.course import Band
from mplan.physics.climb.launch_vehicle import (
    NOMINAL,
    Booster,
    ClimbLimits,
    Dispersions,
    Drop,
    EngineOut,
    Launch,
    LaunchVehicle,
    Motor,
    Stage,
)
from mplan.physics.climb.motion import altitude, rates_of

FIRST = Stage("first", Motor(6, 32.7e6, 29.88e6, 326.0, 2.0), 1.70e6, 128e3)
SECOND = Stage(
    "second",
    Motor(5, 5.4e6, 5.4e6, 441.0, 2.0),
    257e3,
    33e3,
    4.0,
    (),
    (Drop("tower", 35.0, 3.7e3),),
)
THIRD = Stage("third", Motor(1, 980e3, 980e3, 449.0, 2.0), 96.6e3, 0.0, 6.0)
STACK = LaunchVehicle(2.277e6, (FIRST, SECOND, THIRD), 66.5)
PAD = Launch(radians(-19.98), radians(76.0), c.R_EARTH + 185e3)


@pytest.fixture(scope="module")
def best():
    """The best climb of a three-stage vehicle."""
    return optimum.best_climb(STACK, PAD, "the stack")


def test_an_independent_integrator_arrives_at_the_same_place(best):
    """The same forces flown by DOP853 end within 0.5 m/s and 100 m.

    Every stretch between two events is one integration of its own, with the engines and the
    steering that were recorded for it; SciPy's method shares only the right-hand side.
    """
    course, _ = launch_climb.recorded(STACK, PAD, best.steering)
    s, at = np.array(course.rows[0].s), course.rows[0].t
    for before, after in zip(course.rows, course.rows[1:], strict=False):
        if after.t == before.t:  # something was jettisoned
            s[6] += after.s[6] - before.s[6]
            continue
        rates = rates_of(STACK, NOMINAL, before.push, before.steer)
        arc = solve_ivp(
            lambda t, y, rates=rates: rates(t, tuple(y)),
            (at, after.t),
            s,
            method="DOP853",
            rtol=1e-9,
            atol=1e-6,
            max_step=2.0,
        )
        s, at = arc.y[:, -1], after.t
    assert np.linalg.norm(s[3:6] - best.track.v[-1]) < 0.5
    assert np.linalg.norm(s[:3] - best.track.r[-1]) < 100.0


def test_losses_and_gain_make_the_ideal_velocity(best):
    """Speed gained and losses add up to what the engines gave, to less than 1 m/s."""
    for part in best.parts:
        assert part.gained + sum(part.losses.values()) == pytest.approx(part.ideal, abs=0.01)
    assert best.gained + sum(best.losses.values()) == pytest.approx(best.ideal, abs=0.01)


def test_the_ideal_velocity_is_tsiolkovskys(best):
    """Of a stage that drops nothing on the way, it is the rocket equation's."""
    for part, stage in zip(best.parts, STACK.stages, strict=True):
        if not stage.drops:
            asked = stage.motor.isp * c.G0 * np.log(part.mass / (part.mass - part.propellant))
            assert part.ideal == pytest.approx(asked, abs=0.05)


def test_it_ends_in_the_orbit_asked_for(best):
    """Radius, level flight, circular speed and plane at insertion."""
    r, v = best.track.r[-1], best.track.v[-1]
    assert np.linalg.norm(r) == pytest.approx(PAD.radius, abs=2.0)
    assert np.linalg.norm(v) == pytest.approx(np.sqrt(c.MU_EARTH / PAD.radius), abs=0.05)
    assert abs(r @ v) / np.linalg.norm(r) < 0.02
    normal = np.cross(r, v) / np.linalg.norm(np.cross(r, v))
    pad = best.track.r[0] / np.linalg.norm(best.track.r[0])
    assert abs(normal @ pad) < 1e-5  # the plane holds the pad as it stood at lift-off
    east = np.array([0.0, 1.0, 0.0])
    north = np.cross(pad, east)
    ahead = np.cross(normal, pad)
    assert np.arctan2(ahead @ east, ahead @ north) == pytest.approx(PAD.azimuth, abs=1e-5)


def test_no_kick_near_by_leaves_more(best):
    """The pitchover angle found is the best: a fifth of a degree either way costs propellant."""
    for off in (-0.2, 0.2):
        other = replace(best.steering, pitchover_angle=best.steering.pitchover_angle + radians(off))
        assert launch_climb.fly_climb(STACK, PAD, other).left < best.left


def test_masses_add_up(best):
    """From part to part only what is jettisoned is missing."""
    first, second, third = best.parts
    assert best.track.mass[0] == pytest.approx(best.released)
    assert first.mass == STACK.mass
    assert second.mass == pytest.approx(first.end_mass - FIRST.dropped)
    assert third.mass == pytest.approx(second.end_mass - SECOND.dropped)
    assert second.end_mass == pytest.approx(second.mass - second.propellant - 3.7e3)
    assert third.left == pytest.approx(best.left)


def test_the_track_is_whole(best):
    """Arrays of one length, times that never go back, events where they happened."""
    track = best.track
    assert all(len(x) == len(track.t) for x in vars(track).values() if isinstance(x, np.ndarray))
    assert (np.diff(track.t) >= 0.0).all()
    tower = next(x for x in track.events if x.name == "tower")
    second = next(x for x in track.events if x.what == "ignition" and x.name == "second")
    assert tower.t - second.t == pytest.approx(35.0)


def test_attitude_follows_the_path_in_the_air(best):
    """Thrust is along the path through the air from end of the pitchover to the first staging."""
    track = best.track
    turning = (track.t > 40.0) & (track.t < best.parts[0].cut_off - 1.0)
    assert track.angle_of_attack[turning].max() < 1e-6


def test_a_steered_climb_is_remembered_not_history(best):
    """The same numbers give the same climb, whatever was flown before."""
    launch_climb.fly_climb.cache_clear()
    again = launch_climb.fly_climb(STACK, PAD, best.steering)
    optimum.best_climb.cache_clear()
    anew = optimum.best_climb(STACK, PAD, "the stack")
    assert anew.left == best.left
    assert again.left == pytest.approx(best.left, abs=0.5)


def test_like_another(best):
    """Steered as another: itself for the same vehicle, nearly the best for a heavier one."""
    assert optimum.climb_like(STACK, PAD, best) is best
    heavier = replace(STACK, mass=STACK.mass + 10e3)
    kept, anew = optimum.climb_like(heavier, PAD, best), optimum.best_climb(heavier, PAD)
    assert not kept.optimised
    assert anew.optimised
    assert anew.left - 60.0 < kept.left <= anew.left + 1.0


@pytest.mark.parametrize("throttle_min", [0.6, 1.0])
def test_an_acceleration_limit_holds(best, throttle_min):
    """Engines throttle, or are shut down one by one; either way it costs little propellant."""
    motor = replace(FIRST.motor, throttle_min=throttle_min)
    held = replace(STACK, limits=ClimbLimits(acceleration=35.0))
    held = replace(held, stages=(replace(FIRST, motor=motor), SECOND, THIRD))
    flown = optimum.best_climb(held, PAD)
    assert best.most_acceleration.value > 50.0
    assert flown.most_acceleration.value <= 35.0 * 1.001
    assert best.left - 3e3 < flown.left < best.left
    shut = [x for x in flown.track.events if x.what == "engine shut down"]
    assert bool(shut) == (throttle_min == 1.0)


def test_a_pressure_limit_holds(best):
    """Engines that throttle keep the dynamic pressure below its limit."""
    motor = replace(FIRST.motor, throttle_min=0.5)
    limits = ClimbLimits(dynamic_pressure=0.8 * best.most_dynamic_pressure.value)
    held = replace(STACK, stages=(replace(FIRST, motor=motor), SECOND, THIRD), limits=limits)
    flown = optimum.best_climb(held, PAD)
    assert flown.most_dynamic_pressure.value <= limits.dynamic_pressure * 1.01
    assert flown.left < best.left


def test_boosters_burn_beside_and_drop():
    """A core with boosters: they burn out first, their mass goes, the core burns on."""
    booster = Booster("booster", Motor(2, 14e6, 12.5e6, 280.0, 2.0), 500e3, 70e3)
    core = Stage("core", Motor(1, 2e6, 1.4e6, 430.0, 2.0), 150e3, 14e3, 0.0, (booster,))
    upper = Stage("upper", Motor(1, 150e3, 150e3, 450.0, 2.0), 25e3, 0.0, 5.0)
    mass = 570e3 + 164e3 + 25e3 + 20e3
    vehicle = LaunchVehicle(mass, (core, upper), 40.0, limits=ClimbLimits(acceleration=45.0))
    flown = optimum.best_climb(vehicle, PAD)
    assert flown.reached, flown.trouble
    drop = next(x for x in flown.track.events if x.name == "booster")
    burn = booster.burn_time() - PAD.hold_down
    assert drop.t == pytest.approx(burn, abs=1e-6)
    first = flown.parts[0]
    assert first.propellant == pytest.approx(650e3)
    assert first.end_mass == pytest.approx(mass - 650e3 - 70e3, abs=1.0)
    flow = core.motor.flow
    assert first.cut_off == pytest.approx(150e3 / flow + 1.0 - PAD.hold_down, rel=1e-6)


def test_a_stop_at_burn_out_does_not_keep_the_booster():
    """A burn that leaves its band in the step that ends at the burn-out goes on without it."""
    booster = Booster("booster", Motor(2, 14e6, 12.5e6, 280.0, 2.0), 500e3, 70e3)
    core = Stage("core", Motor(1, 2e6, 1.4e6, 430.0, 2.0), 150e3, 14e3, 0.0, (booster,))
    course = profile.release(LaunchVehicle(780e3, (core,), 40.0), PAD, NOMINAL)
    empty, up = booster.burn_time() - PAD.hold_down, guidance.pitchover(PAD, 0.1)
    ahead = course.copy()
    ahead.burn(up, within=lambda at: Band(highest=inf if at.t < empty - 1e-6 else -inf))
    height = altitude(ahead.s) - 1e-7  # left by less than a step out of a band is cut to
    course.burn(up, within=lambda at: Band(highest=height))
    assert course.t == pytest.approx(empty)
    before = course.s[6]
    course.burn(up, within=lambda at: Band(highest=height + 5000.0))
    assert course.t > empty + 1.0
    lost = 70e3 + core.motor.flow * (course.t - empty)
    assert before - course.s[6] == pytest.approx(lost, rel=1e-6)


def test_a_burn_ends_at_its_height():
    """The step that leaves a band is cut there, upwards as downwards, and the clock with it."""
    course = profile.release(STACK, PAD, NOMINAL)
    up = guidance.pitchover(PAD, 0.1)
    course.burn(up, within=lambda at: Band(highest=1234.5))
    assert altitude(course.s) == pytest.approx(1234.5, abs=1e-6)
    assert altitude(course.s) > 1234.5
    plunge = (*course.s[:3], *(-2.0 * x for x in course.s[3:6]), *course.s[6:])
    course.s = plunge
    course.burn(up, within=lambda at: Band(lowest=1000.0))
    assert altitude(course.s) == pytest.approx(1000.0, abs=1e-6)
    assert altitude(course.s) < 1000.0


def test_what_is_left_is_smooth_in_the_pitchover(best):
    """Steering for the orbit begins at 80 km whatever the angle, not at the end of a step of 2 s.

    Third differences of what is left, over angles 1 % apart, are then the curve's own: below 1 kg.
    They were 958 kg where it began with the next step.
    """
    aim, left = best.steering.aim, []
    for share in np.linspace(0.70, 0.82, 13):
        steering = profile.ClimbSteering(share * best.steering.pitchover_angle, aim)
        course = profile.release(STACK, PAD, NOMINAL)
        assert profile.fly_profile(course, PAD, steering).aim
        handed = next(x for x in course.happened if x.what == "jettisoned")
        assert altitude(handed.s) > profile.HANDOVER  # or all burn out below it
        kept, aim = launch_climb.propellant_left(STACK, PAD, steering)
        left.append(kept)
    assert np.abs(np.diff(left, 3)).max() < 1.0


def test_what_cannot_leave_the_pad():
    """Too little thrust is a result: nothing flies, and the reason is said."""
    weak = replace(STACK, stages=(replace(FIRST, motor=Motor(3, 16e6, 15e6, 326.0)), SECOND, THIRD))
    flown = optimum.best_climb(weak, PAD)
    assert not flown.reached
    assert "does not leave the pad: its thrust is 0.6" in flown.trouble
    assert len(flown.parts) == 3


def test_what_cannot_reach_its_height():
    """A second stage too weak to carry itself comes down, and where is said."""
    weak = replace(
        STACK, stages=(FIRST, replace(SECOND, motor=Motor(1, 0.6e6, 0.6e6, 441.0)), THIRD)
    )
    flown = optimum.best_climb(weak, PAD)
    assert not flown.reached
    assert "thrust above the air does not carry" in flown.trouble
    assert 0.0 < flown.fallen.range < 1.0


def test_what_runs_dry_tells_what_it_lacks():
    """A last stage with too little is flown as if it had the rest, which is told."""
    short = replace(STACK, stages=(FIRST, SECOND, replace(THIRD, propellant=10e3)))
    flown = optimum.best_climb(short, PAD)
    full = optimum.best_climb(STACK, PAD)
    assert flown.left == pytest.approx(full.left - THIRD.propellant + 10e3, abs=1.0)
    assert "runs dry" in flown.trouble
    assert flown.fallen is not None


@pytest.mark.parametrize(
    ("dispersions", "costs"),
    [
        (Dispersions(thrust=0.98), True),
        (Dispersions(thrust=1.02), False),
        (Dispersions(air=1.1), True),
        (Dispersions(wind=1.0, wind_to=radians(256.0)), True),
        (Dispersions(engine_out=EngineOut(0, 60.0)), True),
        (Dispersions(engine_out=EngineOut(0, 120.0)), True),
    ],
)
def test_dispersions_cost_what_they_must(best, dispersions, costs):
    """Less thrust, thicker air, head wind and lost engines leave less; more thrust leaves more."""
    flown = launch_climb.fly_climb(STACK, PAD, best.steering, dispersions)
    assert flown.reached
    assert (flown.left < best.left) == costs
    assert np.linalg.norm(flown.track.r[-1]) == pytest.approx(PAD.radius, abs=5.0)


def test_an_early_engine_out_is_found_again_in_the_end():
    """An engine that stops is known from then on; the flow of the others lasts longer."""
    best = optimum.best_climb(STACK, PAD)
    flown = launch_climb.fly_climb(
        STACK, PAD, best.steering, Dispersions(engine_out=EngineOut(1, 50.0))
    )
    longer = flown.parts[1].cut_off - best.parts[1].cut_off
    rest = best.parts[1].cut_off - best.parts[1].ignition - 50.0
    assert longer == pytest.approx(rest / 4.0, rel=0.01)


def test_stages_fall_where_a_kepler_ellipse_meets_the_ground(best):
    """The fall of the first stage against the two-body ellipse on a sphere, to 1 % of the range."""
    drop = next(x for x in best.track.events if x.what == "jettisoned" and x.name == "first")
    fall = best.impacts[0]
    r, v = np.array(drop.state[:3]), np.array(drop.state[3:6])
    h = np.cross(r, v)
    e = np.cross(v, h) / c.MU_EARTH - r / np.linalg.norm(r)
    ground = np.linalg.norm(best.track.r[0])
    p = h @ h / c.MU_EARTH
    nu1 = np.arccos((p / np.linalg.norm(r) - 1.0) / np.linalg.norm(e))
    nu2 = 2.0 * np.pi - np.arccos((p / ground - 1.0) / np.linalg.norm(e))
    over = nu2 - nu1  # inertial angle from the drop to the ground
    turned = (c.W_EARTH * (fall.t - drop.t)) * np.cos(fall.latitude)
    assert drop.downrange + over - turned == pytest.approx(fall.range, rel=0.02)
