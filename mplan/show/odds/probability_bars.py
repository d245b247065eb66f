"""How likely the plan, each burn and each limit hold: bars, with the interval of each."""

from __future__ import annotations

from typing import NamedTuple

from mplan.show.drawn import palette, rows
from mplan.show.drawn.figure import Drawing, Picture, Trace
from mplan.show.drawn.palette import Look, Theme
from mplan.show.odds import words
from mplan.show.odds.columns import bare
from mplan.show.odds.tables import telling
from mplan.studies.odds import Odds, Probability

ROW, EDGES = 26, 110  # px: a bar, and what stands above and below all of them
ROOM = 165.0  # % to the right end of the axis, for the words


class ProbabilityRow(NamedTuple):
    """One bar: what holds, and how likely."""

    name: str
    chance: Probability


def probabilities(odds: Odds, *, theme: Theme | None = None) -> Picture:
    """Return how likely the plan, each burn and each limit that is near hold [%]."""
    return Picture(drawing(odds, theme), "odds")


def drawing(odds: Odds, theme: Theme | None = None) -> Drawing:
    """Return the bars of `probabilities`."""
    look, told = palette.look(theme), bars(odds)
    names = [row.name for row in told]
    axes = rows.axes(look, names, "missions in which it holds [%]", 0.0, ROOM)
    axes["x"] |= rows.ticks(0.0, 100.0)
    return Drawing(
        traces=[_shares(told, names, look), _words(told, names, look)],
        **axes,
        height=EDGES + ROW * len(names),
        summary=words.verdict(odds),
        look=look,
        more={**rows.more("overlay"), "showlegend": False},
    )


def bars(odds: Odds) -> list[ProbabilityRow]:
    """Return the rows: the plan first, then burns and limits in their order."""
    return [
        ProbabilityRow("the whole plan", odds.holds),
        ProbabilityRow("no reserve used", odds.untouched),
        *(ProbabilityRow(f"propellant for {x.name}", x.flown) for x in odds.burns),
        *(ProbabilityRow(bare(x.left.name), x.holds) for x in telling(odds)),
    ]


def _shares(told: list[ProbabilityRow], names: list[str], look: Look) -> Trace:
    shares = [100.0 * row.chance.share for row in told]
    part = rows.part("holds", shares, names, look.main, "", look, "%{x:.2f} %", digits=2)
    ends = [row.chance.interval for row in told]
    above = [100.0 * high - share for (_, high), share in zip(ends, shares, strict=True)]
    below = [share - 100.0 * low for (low, _), share in zip(ends, shares, strict=True)]
    bars = {"type": "data", "symmetric": False, "array": above, "arrayminus": below}
    return {**part, "error_x": {**bars, "color": look.ink, "thickness": 1.5, "width": 4}}


def _words(told: list[ProbabilityRow], names: list[str], look: Look) -> Trace:
    texts = [words.share(row.chance) for row in told]
    return rows.words(texts, [101.0] * len(told), names, look)
