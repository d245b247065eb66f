"""Exchange ratios as bars: kilograms at lift-off for a kilogram of each element."""

from __future__ import annotations

from collections.abc import Sequence

from mplan.scenario.wording import plain
from mplan.show.drawn import palette, rows
from mplan.show.drawn.figure import Drawing
from mplan.show.drawn.palette import Theme
from mplan.studies.sensitivities.exchange import Ratio

ROW, EDGES = 26, 110  # px: a bar, and what stands above and below all of them
ROOM = 1.7  # the axis is this many times the longest bar, for the words
TITLE = "mass at lift-off for a kilogram more of stated dry mass, all margins kept [kg/kg]"


def drawing(ratios: Sequence[Ratio], theme: Theme | None = None) -> Drawing:
    """Return a bar for each element whose ratio was flown, the dearest on top."""
    look, told = palette.look(theme), ranked(ratios)
    names = [plain(each.element) for each in told]
    sizes = [each.ratio or 0.0 for each in told]
    texts = [f"{each.ratio:,.2f} ± {each.spread:.1g} kg/kg" for each in told]
    longest = max((abs(x) for x in sizes), default=0.0) or 1.0
    low = min((0.0, *sizes))
    axes = rows.axes(look, names, TITLE, low, ROOM * longest)
    axes["x"] |= rows.ticks(low, longest)
    return Drawing(
        traces=[
            rows.part("", sizes, names, look.main, "", look, "%{x:,.2f} kg/kg", digits=3)
            | {"showlegend": False, "base": [0.0] * len(told)},
            rows.words(texts, [max(0.0, x) for x in sizes], names, look, digits=3),
        ],
        **axes,
        height=EDGES + ROW * max(1, len(names)),
        summary=summary(ratios),
        look=look,
        more=rows.more("overlay"),
    )


def ranked(ratios: Sequence[Ratio]) -> list[Ratio]:
    """Return those that were flown, the dearest first."""
    return sorted((x for x in ratios if x.ratio is not None), key=lambda x: -(x.ratio or 0.0))


def summary(ratios: Sequence[Ratio]) -> str:
    """Return the bars in words."""
    told = ranked(ratios)
    if not told:
        return "No exchange ratio was flown."
    first = ", ".join(f"{plain(x.element)} {x.ratio:,.1f}" for x in told[:3])
    return f"Kilograms at lift-off for a kilogram more, all margins kept: {first}."
