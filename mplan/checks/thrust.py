"""Is there thrust enough to leave the pad, and to come down on the Moon?"""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.finding import Finding
from mplan.flight.record import BurnRecord, Flight
from mplan.physics.constants import MU_MOON, R_MOON
from mplan.vehicle.ledger import thrust

MOON_GRAVITY = MU_MOON / R_MOON**2  # m/s2
PHYSICS = "weight"
BRISK = 1.15  # lift-off thrust-to-weight below which gravity and wind take a heavy toll
PRACTICE = "common practice, no source"


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield findings on thrust-to-weight at lift-off and at landing."""
    first = next((burn for burn in flight.burns if burn.leg == "climb"), None)
    if first is not None:
        yield from _lift_off(first)
    for burn in flight.burns:
        if burn.leg == "powered descent":
            yield from _landing(burn, flight)


def _lift_off(burn: BurnRecord) -> Iterator[Finding]:
    ratio, subject = burn.thrust_to_weight, (burn.element, burn.engine)
    there = f"thrust-to-weight {ratio:.2f}"
    if ratio <= 1.0:
        text = f"the stack does not leave the pad: its thrust is {ratio:.2f} of its weight"
        yield Finding(
            "stops the flight", "thrust", "lift-off", text, "above 1", there, PHYSICS, subject
        )
    elif ratio < BRISK:
        text = f"a slow lift-off: the thrust is {ratio:.2f} of the stack's weight"
        asked = f"{BRISK:.2f} or more"
        yield Finding(
            "needs a decision", "thrust", "lift-off", text, asked, there, PRACTICE, subject
        )


def _landing(burn: BurnRecord, flight: Flight) -> Iterator[Finding]:
    engine = flight.scenario.elements[burn.element].engines[burn.engine]
    weight = (burn.mass - burn.propellant) * MOON_GRAVITY
    most, subject = thrust(engine) / weight, (burn.element, burn.engine)
    if most <= 1.0:
        text = f"the lander cannot hold its weight at touchdown: full thrust is {most:.2f} of it"
        there = f"thrust-to-weight {most:.2f}"
        yield Finding(
            "stops the flight", "thrust", "landing", text, "above 1", there, PHYSICS, subject
        )
    least = most * (1.0 if engine.throttle_min is None else engine.throttle_min)
    if least > 1.0:
        text = (
            "the lander cannot hover at touchdown: its lowest thrust is "
            f"{least:.2f} of its lunar weight"
        )
        there = f"thrust-to-weight {least:.2f}"
        yield Finding(
            "needs a decision", "thrust", "landing", text, "below 1", there, PHYSICS, subject
        )
