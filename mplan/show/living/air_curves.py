"""The partial pressure of carbon dioxide in every cabin, over the mission, and its limit."""

from __future__ import annotations

from collections.abc import Sequence

from mplan.checks.living import Co2Curve
from mplan.physics.constants import HOUR
from mplan.scenario.wording import plain
from mplan.show.drawn import over_days, palette
from mplan.show.drawn.figure import Drawing
from mplan.show.drawn.palette import Theme

HEIGHT = 360  # px


def drawing(curves: Sequence[Co2Curve], theme: Theme | None = None) -> Drawing:
    """Return the pressures [Pa] over time [d], a line a cabin."""
    look = palette.look(theme)
    end = max(float(x.t[-1]) for x in curves)
    limits = sorted({x.limit for x in curves})
    return Drawing(
        traces=[
            *(
                over_days.curve(
                    f"{plain(x.element)} (estimate)",
                    x.t,
                    x.pressure,
                    look.colorway[i % len(look.colorway)],
                    over_days.DASHES[i % len(over_days.DASHES)],
                    "%{y:.0f} Pa at %{x:.2f} d",
                    1,
                )
                for i, x in enumerate(curves)
            ),
            *(over_days.level(f"limit, {x:.0f} Pa", end, x, look) for x in limits),
        ],
        **over_days.axes(look, "partial pressure of CO2 [Pa]"),
        height=HEIGHT,
        summary=summary(curves),
        look=look,
    )


def summary(curves: Sequence[Co2Curve]) -> str:
    """Return the picture in words."""
    said = []
    for each in curves:
        most, when = each.most
        text = f"{plain(each.element)} {most:.0f} Pa at most, {when / HOUR:.0f} h after lift-off"
        if each.beyond is not None:
            text += f", beyond its limit of {each.limit:.0f} Pa from {each.beyond / HOUR:.0f} h on"
        said.append(text)
    return f"Carbon dioxide in the air, a first-order estimate: {'; '.join(said)}."
