"""Margins of two plans side by side: one mark for A, one for B, a row a burn."""

from __future__ import annotations

from typing import NamedTuple

from mplan.comparing import BurnPair, Comparison
from mplan.flight.record import BurnRecord
from mplan.scenario.wording import plain
from mplan.show.comparing.columns import signed
from mplan.show.drawn import palette, rows
from mplan.show.drawn.figure import Drawing, Picture, Trace
from mplan.show.drawn.palette import Look, Theme
from mplan.studies.sensitivities.differences import ends

ROW, EDGES = 30, 110  # px: a burn, and what stands above and below all of them
ROOM = 1.75  # the axis is this many times as long as the margins ask, for the words


class MarginRow(NamedTuple):
    """A burn on which an engine ends, and its margins [m/s]; None where a plan has none."""

    name: str
    a: float | None
    b: float | None

    @property
    def known(self) -> list[float]:
        """The margins that there are."""
        return [x for x in (self.a, self.b) if x is not None]

    @property
    def words(self) -> str:
        """Both, and by how much they differ."""
        if self.a is None:
            return f"B alone: {self.b:,.1f} m/s" if self.b is not None else "burns out"
        if self.b is None:
            return f"A alone: {self.a:,.1f} m/s"
        return f"A {self.a:,.1f}, B {self.b:,.1f} m/s: {signed(self.b - self.a, 1)}"


def margins(comparison: Comparison, *, theme: Theme | None = None) -> Picture:
    """Return the margins [m/s] after the last burn of each engine, of both plans."""
    return Picture(drawing(comparison, theme), "margins")


def drawing(comparison: Comparison, theme: Theme | None = None) -> Drawing:
    """Return the marks of `margins`, the first burn on top."""
    look, told = palette.look(theme), margin_rows(comparison)
    names = [each.name for each in told]
    known = [0.0, *(x for each in told for x in each.known)]
    low, high = min(known), max(known)
    wide = (high - low) or 1.0
    axes = rows.axes(
        look, names, "margin after the burn [m/s]", low - 0.05 * wide, low + ROOM * wide
    )
    axes["x"] |= rows.ticks(low, high)
    return Drawing(
        traces=[
            _none(names, look),
            _between(told, look),
            _marks("A", told, "circle-open", look.ink, look),
            _marks("B", told, "diamond", look.main, look),
            _words(told, look),
        ],
        **axes,
        height=EDGES + ROW * max(1, len(told)),
        summary=summary(comparison),
        look=look,
        more=rows.more("overlay"),
    )


def summary(comparison: Comparison) -> str:
    """Return the margins that differ most, in words."""
    told = [x for x in margin_rows(comparison) if x.a is not None and x.b is not None]
    moved = sorted(told, key=lambda x: -abs((x.b or 0.0) - (x.a or 0.0)))
    first = [f"{x.name}: {x.words}" for x in moved[:2]]
    return f"Margins of A and B: {'; '.join(first) or 'none that both plans have'}."


def margin_rows(comparison: Comparison) -> list[MarginRow]:
    """Return the burns on which an engine ends in either plan."""
    last = [list(ends(plan.flight).values()) for plan in (comparison.a, comparison.b)]
    chosen = [pair for pair in comparison.burns if pair.a in last[0] or pair.b in last[1]]
    return [MarginRow(_name(chosen, pair), _margin(pair.a), _margin(pair.b)) for pair in chosen]


def _name(chosen: list[BurnPair], pair: BurnPair) -> str:
    """Return a burn's name, with its element where two have the same."""
    burns = [known for x in chosen if (known := x.a or x.b)]
    burn = burns[chosen.index(pair)]
    alone = sum(burn.name == x.name for x in burns) == 1
    return burn.name if alone else f"{burn.name}, {plain(burn.element)}"


def _margin(burn: BurnRecord | None) -> float | None:
    return None if burn is None or burn.burns_out else burn.margin


def _none(names: list[str], look: Look) -> Trace:
    """Return the upright line of no margin."""
    ends_of_it = [names[0], names[-1]] if names else []
    return {
        "type": "scatter",
        "mode": "lines",
        "name": "no margin",
        "x": [0.0] * len(ends_of_it),
        "y": ends_of_it,
        "line": {"color": look.bad, "dash": "dash", "width": 2},
        "hoverinfo": "name",
    }


def _between(told: list[MarginRow], look: Look) -> Trace:
    """Return a stroke from A to B in each row that has both."""
    both = [x for x in told if len(x.known) == 2]
    return {
        "type": "scatter",
        "mode": "lines",
        "showlegend": False,
        "x": [x for each in both for x in (each.a, each.b, None)],
        "y": [x for each in both for x in (each.name, each.name, None)],
        "line": {"color": look.quiet, "dash": "solid", "width": 3},
        "hoverinfo": "skip",
    }


def _marks(plan: str, told: list[MarginRow], symbol: str, colour: str, look: Look) -> Trace:
    own = [(x.name, x.a if plan == "A" else x.b) for x in told]
    own = [(name, value) for name, value in own if value is not None]
    return {
        "type": "scatter",
        "mode": "markers",
        "name": plan,
        "x": [round(value or 0.0, 1) for _, value in own],
        "y": [name for name, _ in own],
        "marker": {"size": 11, "symbol": symbol, "color": colour, "line": {"width": 2}},
        "hovertemplate": "%{y}: " + plan + " %{x:,.1f} m/s<extra></extra>",
    }


def _words(told: list[MarginRow], look: Look) -> Trace:
    texts = [f"  {each.words}" for each in told]
    places = [max(each.known, default=0.0) for each in told]
    return rows.words(texts, places, [each.name for each in told], look)
