"""The question of lesson 3: how much more a stage must carry for its burn, by hand."""

from __future__ import annotations

from math import exp

from mplan.flight.record import BurnRecord
from mplan.lessons.answers import Question, Slip, Verdict, judged
from mplan.lessons.stacking.formulas import isp_of
from mplan.physics.constants import G0
from mplan.plan import Plan
from mplan.show.columns import Column
from mplan.show.notebook import Table
from mplan.show.tables import framed


def short(plan: Plan) -> Table:
    """Return the burns whose tanks do not hold what is asked of them, with what a hand needs."""
    columns = (
        Column("burn", lambda x: x.name),
        Column("mass at ignition [kg]", lambda x: x.mass, 0),
        Column("Isp [s]", lambda x: isp_of(x, plan), 1),
        Column("available [m/s]", lambda x: x.available, 1),
        Column("required [m/s]", lambda x: x.required, 1),
        Column("reserved [m/s]", lambda x: x.reserved, 1),
    )
    return Table(framed(columns, _short(plan)), "Every burn has what it needs.")


def check_more(answer: object, plan: Plan) -> Verdict:
    """Judge how much more propellant the first short burn needs in its tanks, reserve included.

    By the rocket equation, the craft without that propellant as heavy as before and the burn asked
    the same velocity. ValueError where no burn is short.
    """
    burns = _short(plan)
    if not burns:
        raise ValueError("no burn of this plan is short: there is nothing to add")
    burn, speed = burns[0], isp_of(burns[0], plan) * G0
    asked, dry = burn.required + burn.reserved, _dry(burn, speed)
    right = _more(burn, speed, asked)
    slips = (
        Slip("the reserve is left out", _more(burn, speed, burn.required)),
        Slip("it is all that is burnt, not how much more", right + burn.mass - dry),
        Slip("Isp is taken for the exhaust speed", _more(burn, speed / G0, asked)),
        Slip(
            "the velocity that is lacking is paid with the mass at the end: the propellant that "
            "is more must be pushed along too",
            dry * (exp((asked - burn.available) / speed) - 1.0),
        ),
    )
    # Velocities read off the table are rounded to 0.1 m/s, of some ninety that are lacking.
    return judged(answer, Question("mass", "kg", right, slips, within=0.02))


def _short(plan: Plan) -> list[BurnRecord]:
    return [burn for burn in plan.burns if burn.margin < 0.0 and not burn.burns_out]


def _dry(burn: BurnRecord, speed: float) -> float:
    """Return the mass [kg] when all that the burn can draw is burnt, exhaust `speed` [m/s]."""
    return burn.mass * exp(-burn.available / speed)


def _more(burn: BurnRecord, speed: float, asked: float) -> float:
    """Return the propellant [kg] that is lacking for a velocity [m/s]."""
    return _dry(burn, speed) * exp(asked / speed) - burn.mass
