"""Settling and boiling off against what large stages are published to have needed and lost."""

from __future__ import annotations

import pytest

import mplan
from mplan.physics.burns.settling import USUAL, time_to_settle
from mplan.physics.constants import G0, HOUR
from mplan.physics.propellants import PROPELLANTS
from mplan.vehicle import boil_off

LB, LBF = 0.45359237, 4.4482216
VENTED = 2879.0 * LB  # kg, hydrogen vented in the parking orbit
COAST = 2.53 * HOUR  # s


def test_the_heat_that_a_large_hydrogen_stage_vents_in_parking_orbit(reference_landing):
    """Release 69-83K (1969), p. 110: 2879 lb of hydrogen are vented until the injection.

    Over 2.53 h, the time from parking orbit to injection of that flight: an energy balance gives
    the heat, and a tank with that heat leaking in loses as much.
    """
    heat = VENTED / COAST * PROPELLANTS["liquid hydrogen"].latent_heat
    assert heat == pytest.approx(64e3, rel=0.01)  # W: 0.3 kW/m2 on 200 m2 (from memory)
    warm = reference_landing.change(
        {"elements.transfer_stage.tanks.hydrogen.heat_input": f"{heat} W"}
    )
    flight = mplan.fly(warm).flight
    burn = next(x for x in flight.burns if x.leg == "translunar injection")
    passed = flight.end.outbound.injection - flight.end.lift_off  # s, an hour and three quarters
    oxygen = warm.elements["transfer_stage"].tanks["oxygen"]
    hydrogen = burn.boiled - boil_off.rate(oxygen) * passed
    assert hydrogen / passed * COAST == pytest.approx(VENTED, rel=1e-6)


@pytest.mark.parametrize(
    ("push", "mass", "length", "low", "high"),
    [
        # Two 70 lbf thrusters on 297 914 lb; 77 s before its restart. Both from memory, and so
        # is the length of the hydrogen tank.
        (2 * 70 * LBF, 297_914 * LB, 9.0, 65.0, 95.0),
        # Four 100 lbf thrusters on 96 000 lb, 15 to 20 s; a 4 m tank. From memory.
        (4 * 100 * LBF, 96_000 * LB, 4.0, 15.0, 20.0),
    ],
)
def test_settling_times_that_were_flown(push, mass, length, low, high):
    """Large craft settled within the times flown, at pushes that are usual to planners."""
    acceleration = push / mass
    assert USUAL[0] < acceleration < USUAL[1]
    assert low < time_to_settle(acceleration, length) < high
    assert acceleration / G0 < 5e-3
