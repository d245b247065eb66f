"""The front door of lesson 2, why the top of the stack decides the bottom."""

from __future__ import annotations

from mplan.lessons.stacking.panels import climb, heavier, long_burn, rocket, stages
from mplan.lessons.stacking.questions import (
    check_burn_time,
    check_growth,
    check_lift_off,
    check_payload,
    check_propellant,
)
from mplan.lessons.stacking.tables import beside_flown, losses, ride

__all__ = [
    "beside_flown",
    "check_burn_time",
    "check_growth",
    "check_lift_off",
    "check_payload",
    "check_propellant",
    "climb",
    "heavier",
    "long_burn",
    "losses",
    "ride",
    "rocket",
    "stages",
]
