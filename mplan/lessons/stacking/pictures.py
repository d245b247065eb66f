"""The pictures of lesson 2, each a drawing of the values that its sliders stand at."""

from __future__ import annotations

from functools import cache
from math import exp

import numpy as np

from mplan.lessons import strokes
from mplan.lessons.stacking import formulas
from mplan.physics import constants as c
from mplan.physics.burns.finite_burn import fly_finite
from mplan.physics.twobody import circular_speed, hohmann
from mplan.plan import Plan
from mplan.show.drawn import palette, rows
from mplan.show.drawn.figure import Drawing

POINTS = 121
COUNTS = ("one stage", "two stages", "three stages", "four stages")
LEAST, MOST = 0.15, 2.0  # thrust-to-weight of the burn that leaves orbit
RADIUS = c.R_EARTH + 185e3  # m
IMPULSE = hohmann(RADIUS, 384.4e6, c.MU_EARTH).burns[0]  # m/s
ISP = 450.0  # s


def rocket(burn: float, isp: float) -> Drawing:
    """Draw what is left of a craft after a burn [m/s], by its specific impulse [s]."""
    look = palette.look()
    speeds = np.linspace(0.0, 10e3, POINTS)
    left = exp(-burn / (isp * c.G0))

    def shares(seconds: float) -> list[float]:
        return [100.0 * exp(-x / (seconds * c.G0)) for x in speeds]

    return Drawing(
        traces=[
            strokes.curve("Isp 300 s", speeds, shares(300.0), look.quiet, "dot"),
            strokes.curve("450 s", speeds, shares(450.0), look.quiet, "dash"),
            strokes.curve(f"{isp:.0f} s", speeds, shares(isp), look.main),
            strokes.dot(burn, 100.0 * left, f"{100.0 * left:.1f} %", look),
        ],
        x=strokes.axis(look, "delta-v [m/s]", 0.0, 10e3),
        y=strokes.axis(look, "left of the mass [%]", 0.0, 100.0),
        height=strokes.HEIGHT,
        summary=(
            f"Exhaust speed {isp * c.G0:,.0f} m/s. After {burn:,.0f} m/s, {100.0 * left:.1f} % of "
            f"the craft is left; {100.0 * (1.0 - left):.1f} % was propellant, "
            f"{(1.0 - left) / left:.2f} kg for each kilogram that is left."
        ),
        look=look,
    )


def climb(thrust_to_weight: float, isp: float) -> Drawing:
    """Draw the velocity gained straight up, and what gravity takes, by thrust-to-weight."""
    look = palette.look()
    ratios = np.linspace(1.05, 3.0, POINTS)
    pairs = [formulas.straight_up(x, isp) for x in ratios]
    whole, lost = formulas.straight_up(thrust_to_weight, isp)
    time = lost / c.G0
    return Drawing(
        traces=[
            strokes.curve("by the rocket equation", ratios, [x for x, _ in pairs], look.quiet),
            strokes.curve("lost to gravity", ratios, [y for _, y in pairs], look.bad, "dash"),
            strokes.curve("left", ratios, [x - y for x, y in pairs], look.main),
            strokes.dot(thrust_to_weight, lost, f"{lost:,.0f} m/s lost", look, "bottom left"),
        ],
        x=strokes.axis(look, "thrust-to-weight at lift-off", 1.0, 3.0),
        y=strokes.axis(look, "velocity [m/s]", 0.0, 3500.0),
        height=strokes.HEIGHT,
        summary=(
            f"Straight up until {100 * formulas.SPENT:.0f} % of the mass is burnt, "
            f"{time:.0f} s: {whole:,.0f} m/s, of which gravity takes {lost:,.0f}, "
            f"{100.0 * lost / whole:.0f} %."
        ),
        look=look,
    )


def long_burn(thrust_to_weight: float) -> Drawing:
    """Draw what the burn that leaves for the Moon loses by taking time.

    Beside it the square of the duration alone, the leading term (Robbins 1966, AIAA J. 4,
    1417-1423, from memory), through the loss at a thrust as large as the weight.
    """
    look = palette.look()
    ratios = tuple(float(x) for x in np.geomspace(LEAST, MOST, 41))
    flown = [_flown(x) for x in ratios]
    one = _flown(1.0)
    square = [one[0] * (duration / one[1]) ** 2 for _, duration in flown]
    loss, duration = _flown(thrust_to_weight)
    return Drawing(
        traces=[
            strokes.curve("flown out", ratios, [x for x, _ in flown], look.main),
            strokes.curve("as the square of the time", ratios, square, look.second, "dash"),
            strokes.dot(thrust_to_weight, loss, f"{loss:,.1f} m/s", look),
        ],
        x=strokes.axis(look, "thrust-to-weight at ignition", 0.0, MOST),
        y=strokes.axis(look, "loss [m/s]", 0.0, 250.0),
        height=strokes.HEIGHT,
        summary=(
            f"{IMPULSE:,.0f} m/s from a circle 185 km up with a thrust of {thrust_to_weight:.2f} "
            f"of the weight: the engine runs {duration:,.0f} s and loses {loss:,.1f} m/s; with "
            f"twice the thrust {duration / 2.0:,.0f} s and {_flown(2.0 * thrust_to_weight)[0]:,.1f}"
            " m/s."
        ),
        look=look,
    )


@cache
def _flown(thrust_to_weight: float) -> tuple[float, float]:
    """Return loss [m/s] and duration [s] of the burn, flown along the velocity."""
    slow = circular_speed(RADIUS, c.MU_EARTH)
    push = {"thrust": thrust_to_weight * c.G0, "isp": ISP, "mass": 1.0}
    found = fly_finite(RADIUS, slow, IMPULSE, c.MU_EARTH, **push)
    return found.loss, found.duration


def stages(burn: float, isp: float, structure: float) -> Drawing:
    """Draw payload over lift-off mass of one to four equal stages; `structure` in per cent."""
    look = palette.look()
    shares = [
        100.0 * formulas.payload_share(n, burn, isp, structure / 100.0)
        for n in range(1, len(COUNTS) + 1)
    ]
    said = [f"{x:.2f} %" if x > 0.0 else "does not get there" for x in shares]
    sizes = [max(0.0, x) for x in shares]
    return Drawing(
        traces=[
            rows.part("payload", sizes, COUNTS, look.main, "", look, "%{x:.2f} %", digits=2),
            rows.words(said, sizes, COUNTS, look, digits=2),
        ],
        **rows.axes(look, COUNTS, "payload over lift-off mass [%]", 0.0, 16.0),
        height=230,
        summary=(
            f"{burn:,.0f} m/s with Isp {isp:.0f} s, {structure:.0f} % of a stage left when it is "
            f"empty: {'; '.join(map(': '.join, zip(COUNTS, said, strict=True)))}."
        ),
        look=look,
        more={**rows.more("stack"), "showlegend": False},
    )


def heavier(more: float, plan: Plan) -> Drawing:
    """Draw the margins of burns that carry the payload with `more` [kg] of it, by hand."""
    look = palette.look()
    burns = [x for x in formulas.carrying(plan) if x.margin < 1000.0]
    names = [x.name for x in burns]
    left = [x.margin - formulas.taken(x, formulas.isp_of(x, plan), more) for x in burns]
    said = [f"{x:,.0f} m/s" if x >= 0.0 else f"SHORT BY {-x:,.0f} m/s" for x in left]
    good, lack = [max(0.0, x) for x in left], [max(0.0, -x) for x in left]
    short = [name for name, x in zip(names, left, strict=True) if x < 0.0]
    return Drawing(
        traces=[
            rows.part("margin left", good, names, look.good, "", look, "%{x:.0f} m/s"),
            rows.part("SHORT", lack, names, look.bad, "\\", look, "%{x:.0f} m/s"),
            rows.words(said, [x + y for x, y in zip(good, lack, strict=True)], names, look),
        ],
        **rows.axes(look, names, "margin [m/s]", 0.0, 1000.0),
        height=120 + 30 * len(names),
        summary=(
            f"{more:,.0f} kg more to be landed, tanks as they are: "
            + (f"short: {', '.join(short)}." if short else "every burn keeps a margin.")
        ),
        look=look,
        more=rows.more("stack"),
    )
