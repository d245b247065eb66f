"""An entry flown: against SciPy on the same physics, without air, and its steering."""

from __future__ import annotations

from math import cos, exp, inf, pi, sin

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from mplan.physics import constants as c
from mplan.physics.bodies import atmosphere
from mplan.physics.entry import allen_eggers, entry_flight
from mplan.physics.entry.corridor import steepened
from mplan.physics.entry.entry_air import NO_AIR, air_table
from mplan.physics.entry.entry_flight import (
    EntrySteering,
    EntryVehicle,
    Planet,
    fly_entry,
)
from mplan.physics.entry.homing import STRAIGHT, TowardsTarget
from mplan.physics.entry.over_ground import geodetic_place, ground_range

LIGHT = EntryVehicle(380.0, 0.28)
DROGUES = 7200.0


def interface(angle: float, speed: float = 11020.0, heading: float = 60.0) -> entry_flight.Six:
    """Return a state over the equator, moving on `heading` [deg] at `angle` [deg]."""
    a, h = angle * c.DEG, heading * c.DEG
    up, level = speed * sin(a), speed * cos(a)
    return (c.R_EARTH + c.ENTRY_INTERFACE, 0.0, 0.0, up, level * sin(h), level * cos(h))


def test_without_air_it_is_an_orbit():
    """No density, no drag: the energy stays, that of the potential of J2 included."""
    flown = fly_entry(interface(-6.4), LIGHT, EntrySteering(0.3), DROGUES, world=Planet(NO_AIR))

    def energy(state: entry_flight.Six) -> float:
        r, v = np.array(state[:3]), np.array(state[3:])
        distance = np.linalg.norm(r)
        bulge = c.J2_EARTH * (c.R_EARTH / distance) ** 2 * (1.5 * (r[2] / distance) ** 2 - 0.5)
        return v @ v / 2.0 - c.MU_EARTH / distance * (1.0 - bulge)

    first, last = energy(flown.rows[0].state), energy(flown.rows[-1].state)
    assert last == pytest.approx(first, rel=1e-9)


RIGHTWARDS = TowardsTarget((0.0, 0.0, -1.0), inf)  # a target in the south, and no reversals


@pytest.mark.parametrize("banked", [False, True])
def test_scipy_on_the_same_physics_comes_down_at_the_same_place(banked):
    """Vectors, the standard atmosphere itself and an eighth-order method: 0.3 km, 0.3 %."""
    up, start = 0.5, interface(-6.4)
    side = np.sqrt(0.75) if banked else 0.0

    def rates(t: float, state: np.ndarray) -> np.ndarray:
        r, v = state[:3], state[3:]
        distance = np.linalg.norm(r)
        sine = r[2] / distance
        height = distance - c.R_EARTH / np.sqrt(1 + (1 / (1 - c.F_EARTH) ** 2 - 1) * sine**2)
        pole = np.array([0.0, 0.0, 1.0])
        flow = v - np.cross(c.W_EARTH * pole, r)
        speed, out = np.linalg.norm(flow), r / distance
        ahead = flow / speed
        normal = out - ahead * (out @ ahead)
        drag = atmosphere.standard_air(height).density * speed**2 / 2.0 / LIGHT.ballistic
        factor = 1.5 * c.J2_EARTH * (c.R_EARTH / distance) ** 2
        bulge = factor * ((1.0 - 5.0 * sine**2) * out + 2.0 * sine * pole)
        pull = -c.MU_EARTH / distance**2 * (out + bulge)
        lift = LIGHT.lift_to_drag * up * drag * normal / np.linalg.norm(normal)
        right = np.cross(flow, r)
        lift += LIGHT.lift_to_drag * side * drag * right / np.linalg.norm(right)
        return np.concatenate([v, pull - drag * ahead + lift])

    steering, homing = EntrySteering(up, pull_out=False), RIGHTWARDS if side else STRAIGHT
    flown = fly_entry(start, LIGHT, steering, DROGUES, homing=homing)
    after = np.array([row.t for row in flown.rows])
    other = solve_ivp(rates, (0.0, after[-1]), start, "DOP853", t_eval=after, rtol=1e-9, atol=1e-6)
    assert flown.end == "down"
    end = tuple(other.y[:, -1].tolist())
    assert np.linalg.norm(np.subtract(end[:3], flown.rows[-1].state[:3])) < 300.0
    half = len(after) // 2
    assert np.linalg.norm(other.y[3:, half] - flown.rows[half].state[3:]) < 1.0


def test_the_steps_are_short_enough(monkeypatch):
    """Steps of a fifth the length move the range and the peak by less than is said."""
    coarse = fly_entry(interface(-6.4), LIGHT, EntrySteering(0.25), DROGUES)
    monkeypatch.setattr(entry_flight, "DEPTH", entry_flight.DEPTH / 5.0)
    monkeypatch.setattr(entry_flight, "STEP", entry_flight.STEP / 5.0)
    fine = fly_entry(interface(-6.4), LIGHT, EntrySteering(0.25), DROGUES)
    assert coarse.range == pytest.approx(fine.range, abs=500.0)
    assert coarse.peak.load == pytest.approx(fine.peak.load, rel=1e-3)


def test_lift_up_until_caught_then_the_bank():
    """All lift points up while it falls faster than 213 m/s, and as steered from then on."""
    flown = fly_entry(interface(-6.4), LIGHT, EntrySteering(0.25), DROGUES)
    ups = [row.up for row in flown.rows]
    change = ups.index(0.25)
    assert set(ups[:change]) == {1.0}
    assert set(ups[change:]) == {0.25}
    assert flown.rows[change].climb == pytest.approx(entry_flight.PULL_OUT, abs=1.0)
    assert flown.steering.bank / c.DEG == pytest.approx(75.522, abs=1e-3)


def test_lift_down_until_caught_then_the_bank():
    """All lift points down until the air holds it with 2.5 g, and as steered from then on."""
    steering = EntrySteering(-0.1, first=-1.0)
    flown = fly_entry(interface(-5.2), LIGHT, steering, DROGUES)
    ups = [row.up for row in flown.rows]
    change = ups.index(-0.1)
    assert set(ups[:change]) == {-1.0}
    assert set(ups[change:]) == {-0.1}
    assert flown.rows[change].load == pytest.approx(entry_flight.CAUGHT, rel=0.02)
    assert flown.end == "down"
    held_up = fly_entry(interface(-5.2), LIGHT, steering._replace(first=1.0), DROGUES)
    assert held_up.end == "skip"


def test_what_climbs_out_has_skipped():
    """Full lift from a shallow angle leaves the air; it has no range, and stops where it does."""
    flown = fly_entry(interface(-5.6), LIGHT, EntrySteering(1.0), DROGUES)
    assert flown.end == "skip"
    assert flown.range == float("inf")
    assert flown.rows[-1].climb > 0.0
    assert flown.rows[-1].load < entry_flight.NO_GRIP


def test_subsonic_drag_counts_below_the_speed_of_sound_only():
    """Half the drag at the end: half the load at the same air and speed, and no change before."""
    same = fly_entry(interface(-6.4), LIGHT, EntrySteering(0.25), DROGUES)
    slower = fly_entry(interface(-6.4), LIGHT._replace(slow=760.0), EntrySteering(0.25), DROGUES)
    assert slower.peak == same.peak
    assert slower.rows[-1].speed > 1.3 * same.rows[-1].speed
    last = slower.rows[-1]
    pressure = atmosphere.standard_air(last.altitude).density * last.speed**2 / 2.0
    drag = pressure / 760.0 * (1.0 + 0.28**2) ** 0.5
    assert last.load == pytest.approx(drag, rel=1e-3)


def test_steepened_keeps_speed_and_heading():
    """Only the flight-path angle changes."""
    start = interface(-6.4)
    turned = np.array(steepened(start, -7.0 * c.DEG))
    assert np.linalg.norm(turned[3:]) == pytest.approx(11020.0)
    assert np.arcsin(turned[3] / 11020.0) / c.DEG == pytest.approx(-7.0)
    assert np.arctan2(turned[4], turned[5]) / c.DEG == pytest.approx(60.0)


def test_places_turn_with_the_earth():
    """A state that stays put in space drifts west over the ground; latitude is geodetic."""
    still = interface(-6.4)
    assert geodetic_place(still, 600.0) == pytest.approx((0.0, -600.0 * c.W_EARTH))
    assert ground_range(still, still, 600.0) == pytest.approx(c.R_EARTH * 600.0 * c.W_EARTH)
    polar = (1e-3, 0.0, c.R_EARTH, *still[3:])
    assert geodetic_place(polar, 0.0)[0] / c.DEG == pytest.approx(90.0)


@pytest.mark.parametrize(
    ("speed", "ballistic", "scale_height"), [(9144.0, 1599.0, 6705.6), (7500.0, 350.0, 7160.0)]
)
def test_without_gravity_it_gives_the_closed_form(speed, ballistic, scale_height):
    """Straight down over the pole in exponential air: 0.5 %, the steps' own error."""
    density = 1.75
    world = Planet(
        air_table(lambda altitude: density * exp(-altitude / scale_height)), mu=0.0, rate=0.0
    )
    start = (0.0, 0.0, c.R_EARTH * (1.0 - c.F_EARTH) + 150e3, 0.0, 0.0, -speed)
    vehicle, steering = EntryVehicle(ballistic, 0.0), EntrySteering(0.0, pull_out=False)
    flown = fly_entry(start, vehicle, steering, 0.0, world=world)
    air = {"scale_height": scale_height, "density": density}
    peak = allen_eggers.peak_acceleration(speed, -pi / 2.0, ballistic, **air)
    assert flown.peak.load == pytest.approx(peak.value, rel=5e-3)
    assert flown.peak.altitude == pytest.approx(peak.altitude, abs=1500.0)  # one step


def test_the_largest_load_is_found_between_steps(monkeypatch):
    """Both peaks as with steps a twentieth the length, within 1e-3: the steps' own error.

    The rows of steps alone miss them by up to 8e-3.

    Each is a moment of the flight: its load is what its own height and speed give.
    """
    start, steering = interface(-6.4), EntrySteering(0.25)
    found = [x for x in fly_entry(start, LIGHT, steering, DROGUES).peaks if x.load > c.G0]
    monkeypatch.setattr(entry_flight, "DEPTH", entry_flight.DEPTH / 20.0)
    monkeypatch.setattr(entry_flight, "STEP", entry_flight.STEP / 20.0)
    fine = fly_entry(start, LIGHT, steering, DROGUES)
    exact = [x for x in fine.peaks if x.load > c.G0]
    assert len(found) == len(exact) == 2
    for mine, theirs in zip(found, exact, strict=True):
        assert mine.load == pytest.approx(theirs.load, rel=1e-3)
        assert mine.t == pytest.approx(theirs.t, abs=0.5)
        pressure = atmosphere.standard_air(mine.altitude).density * mine.speed**2 / 2.0
        lift = np.hypot(1.0, LIGHT.lift_to_drag)
        assert mine.load == pytest.approx(pressure / LIGHT.ballistic * lift, rel=2e-3)
