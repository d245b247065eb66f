"""What drives a figure: bars of standardised regression coefficients, the most felt on top."""

from __future__ import annotations

from mplan.show.drawn import palette, rows
from mplan.show.drawn.figure import Drawing, Picture
from mplan.show.drawn.palette import Theme
from mplan.show.notebook import Words, sentence
from mplan.studies.odds import Driven, Odds

ROW, EDGES = 26, 110  # px: a bar, and what stands above and below all of them
ROOM = 1.9  # the axis is this many times the longest bar to the right, for the words
DIGITS = 3  # decimals
TICKS = [-1.0, -0.8, -0.6, -0.4, -0.2, 0.0, 0.2, 0.4, 0.6, 0.8, 1.0]
FEWEST = "What drives the odds is not told: too few missions, or nothing scatters"


def drivers(odds: Odds, figure: str = "", *, theme: Theme | None = None) -> Picture | Words:
    """Return what drives a figure, that of the least likely burn if none is named.

    A sentence where nothing is told. ValueError for a figure that is not.
    """
    told = chosen(odds, figure)
    return sentence(f"{FEWEST}.") if told is None else Picture(drawing(told, theme), "drivers")


def drawing(told: Driven, theme: Theme | None = None) -> Drawing:
    """Return the bars of `drivers`."""
    look = palette.look(theme)
    names = [each.title for each in told.drivers]
    sizes = [each.coefficient for each in told.drivers]
    longest = max((abs(x) for x in sizes), default=1.0)
    hover = "%{x:+.3f} standard deviations for one"
    texts = [f"{x:+.2f}, {100.0 * x**2:.0f} % of the variance" for x in sizes]
    title = f"{told.figure}: standard deviations for one of what is drawn"
    axes = rows.axes(look, names, title, -1.05 * longest, ROOM * longest)
    return Drawing(
        traces=[
            rows.part("moves by", sizes, names, look.main, "", look, hover, digits=DIGITS),
            rows.words(texts, [max(0.0, x) for x in sizes], names, look, digits=DIGITS),
        ],
        x={**axes["x"], "tickvals": TICKS, "ticktext": [f"{each:g}" for each in TICKS]},
        y=axes["y"],
        height=EDGES + ROW * max(1, len(names)),
        summary=summary(told),
        look=look,
        more={**rows.more("overlay"), "showlegend": False},
    )


def chosen(odds: Odds, figure: str) -> Driven | None:
    """Return what drives a figure; without one that of the tightest burn, None if none is told."""
    if figure:
        known = {each.figure: each for each in odds.driven}
        if figure not in known:
            raise ValueError(f"no figure {figure!r}; there are: {', '.join(known)}")
        return known[figure]
    least = {each.left.name: (each.flown.share, each.left.quantiles[0]) for each in odds.burns}
    burns = [each for each in odds.driven if each.figure in least]
    return min(burns, key=lambda each: least[each.figure], default=next(iter(odds.driven), None))


def summary(told: Driven) -> str:
    """Return the chart in words."""
    first = ", ".join(f"{x.title} {x.coefficient:+.2f}" for x in told.drivers[:3])
    caveat = "" if told.linear else "; it does not follow in proportion, so that much is not told"
    return f"{told.figure} is driven most by {first}; R2 {told.fit:.2f}{caveat}."
