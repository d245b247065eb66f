"""The abort modes of the climb as bars over its time, with every gap marked."""

from __future__ import annotations

import pandas as pd

from mplan.contingencies.coverage import Coverage, Gap, ModeSpan
from mplan.scenario.wording import plain
from mplan.show.columns import Column
from mplan.show.drawn import palette, rows
from mplan.show.drawn.figure import Drawing, Trace
from mplan.show.drawn.palette import Look, Theme
from mplan.show.tables import ESTIMATE, framed

ROW, EDGES = 44, 100  # px
WIDTH = 800  # px, in a panel
NO_WAY = "NO ABORT MODE"
ENOUGH = 0.012  # of the climb's time, that a letter takes on a bar


def drawing(found: Coverage, theme: Theme | None = None) -> Drawing:
    """Return the bars, a row a way and one for the gaps."""
    look = palette.look(theme)
    ways = [*dict.fromkeys(span.mode for span in found.spans), NO_WAY]
    last = max(found.end, 1.0)
    return Drawing(
        traces=[
            _bars(
                "open (estimate)",
                [(x.mode, x.begin, x.end) for x in found.open],
                look.good,
                "",
                ways,
            ),
            _bars(
                NO_WAY,
                [(NO_WAY, gap.begin, gap.end) for gap in found.gaps],
                look.bad,
                "\\",
                ways,
            ),
            _words(found, last, look),
        ],
        **rows.axes(look, ways, "since lift-off [s]", -0.01 * last, 1.01 * last),
        height=EDGES + ROW * len(ways),
        summary=summary(found),
        look=look,
        more=rows.more("overlay"),
    )


def summary(found: Coverage) -> str:
    """Return the coverage in words."""
    ways = "; ".join(f"{x.mode} from {x.begin:.0f} to {x.end:.0f} s" for x in found.open)
    gaps = ", ".join(f"{gap.begin:.0f} to {gap.end:.0f} s" for gap in found.gaps)
    covered = (
        f"No abort mode (estimate): {gaps}."
        if gaps
        else "An abort mode is open at every moment (estimate)."
    )
    return f"{covered} Open: {ways or 'none'}."


def table(found: Coverage) -> pd.DataFrame:
    """Return the spans of every way, open or closed with its reason, and then the gaps."""
    return framed(_COLUMNS, [*found.spans, *map(_as_span, found.gaps)])


def _as_span(gap: Gap) -> ModeSpan:
    return ModeSpan(NO_WAY, gap.begin, gap.end, "; ".join(gap.reasons), ("", ""))


def _bars(
    name: str,
    bars: list[tuple[str, float, float]],
    colour: str,
    pattern: str,
    ways: list[str],
) -> Trace:
    """Return bars by row, begin and end; one of no length where there is none, for the legend."""
    bars = bars or [(ways[-1], 0.0, 0.0)]
    return {
        "type": "bar",
        "orientation": "h",
        "name": name,
        "base": [round(begin, 1) for _, begin, _ in bars],
        "x": [round(end - begin, 1) for _, begin, end in bars],
        "y": [row for row, _, _ in bars],
        "marker": {"color": colour, "pattern": {"shape": pattern}, "line": {"width": 0}},
        "hovertemplate": "%{y}: for %{x:.0f} s from %{base:.0f} s<extra></extra>",
    }


def _words(found: Coverage, last: float, look: Look) -> Trace:
    """Return the figures on the bars that have room for them."""
    told = [(span, _figures(span)) for span in found.open]
    fits = [(x, text) for x, text in told if x.end - x.begin > ENOUGH * last * len(text)]
    return {
        "type": "scatter",
        "mode": "text",
        "showlegend": False,
        "x": [round((span.begin + span.end) / 2.0, 1) for span, _ in fits],
        "y": [span.mode for span, _ in fits],
        "text": [text for _, text in fits],
        "textposition": "middle center",
        "textfont": {"color": look.on_second, "size": palette.TEXT_SIZE - 1},
        "hoverinfo": "skip",
    }


def _figures(span: ModeSpan) -> str:
    return f"at worst {span.worst}" if span.worst else ""


_COLUMNS = (
    Column("abort mode", lambda span: plain(span.mode)),
    Column("from [s]", lambda span: span.begin, 0),
    Column("to [s]", lambda span: span.end, 0),
    Column("open", lambda span: "no" if span.closed else "yes"),
    Column("why not", lambda span: span.closed),
    Column("at first", lambda span: span.figures[0]),
    Column("at last", lambda span: span.figures[1]),
    Column("at worst", lambda span: "" if span.closed else span.worst),
    Column("basis", lambda span: ESTIMATE),
)
