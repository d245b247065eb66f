"""The closed forms of lesson 2: stages, gravity loss straight up, more mass above a tank."""

from __future__ import annotations

from math import exp, log

from mplan.flight.record import BurnRecord
from mplan.physics import constants as c
from mplan.plan import Plan

SPENT = 0.6  # of the lift-off mass, that the climb of the picture burns straight up


def payload_share(stages: int, burn: float, isp: float, structure: float) -> float:
    """Return payload over lift-off mass of equal stages that share a `burn` [m/s], Isp in [s].

    `structure` is what is left of a stage when its propellant is gone, as a share of the stage.
    (Curtis 2014, sec. 11.6, similar stages without losses.) Zero or less: it does not get there.
    """
    kept = exp(-burn / (stages * isp * c.G0))
    share = (kept - structure) / (1.0 - structure)
    return share**stages if share > 0.0 else share


def straight_up(thrust_to_weight: float, isp: float) -> tuple[float, float]:
    """Return the velocity of the rocket equation and its gravity loss [m/s], straight up.

    Until `SPENT` of the lift-off mass is burnt, thrust and gravity constant, no air: the loss is
    g times the time (Sutton & Biblarz 2017, ch. 4).
    """
    return -isp * c.G0 * log(1.0 - SPENT), c.G0 * SPENT * isp / thrust_to_weight


def isp_of(burn: BurnRecord, plan: Plan) -> float:
    """Return the specific impulse [s], in vacuum, of the engine that makes a burn."""
    return plan.scenario.elements[burn.element].engines[burn.engine].isp_vacuum


def carrying(plan: Plan) -> tuple[BurnRecord, ...]:
    """Return the burns beyond the parking orbit that carry what is left on the Moon."""
    legs = [burn.leg for burn in plan.burns]
    first, last = legs.index("translunar injection"), legs.index("powered descent")
    return plan.burns[first : last + 1]


def taken(burn: BurnRecord, isp: float, more: float) -> float:
    """Return how much less velocity [m/s] the same tanks give with `more` [kg] above them."""
    speed = isp * c.G0
    after = burn.mass * exp(-burn.available / speed)
    return burn.available - speed * log((burn.mass + more) / (after + more))
