"""The contact log as bars over the mission's time: a row a station, and one for the silences."""

from __future__ import annotations

from collections.abc import Iterable

from mplan.checks.contact import ContactLog
from mplan.physics.constants import DAY
from mplan.scenario.wording import plain
from mplan.show.contact.rows import sentence
from mplan.show.drawn import palette, rows
from mplan.show.drawn.figure import Drawing, Trace
from mplan.show.drawn.palette import Look, Theme

ROW, EDGES = 26, 100  # px
NOBODY = "nobody"
MARKED = {True: "diamond", False: "circle"}  # of burns and events: seen by nobody, by a station


def drawing(log: ContactLog, theme: Theme | None = None) -> Drawing:
    """Return the bars of each craft in turn; burns and events as marks where one sees them."""
    look = palette.look(theme)
    names = _rows(log)
    last = max([x.end for x in log.passes] + [x.end for x in log.silences], default=DAY) / DAY
    seen = [(_row(x.element, x.station), x.begin, x.end) for x in log.passes]
    silent = [(_row(x.element, NOBODY), x.begin, x.end) for x in log.silences]
    return Drawing(
        traces=[
            _bars("a station sees it", seen, names, look.main, "", look),
            _bars("nobody does", silent, names, look.bad, "/", look),
            _events(log, look, unseen=False),
            _events(log, look, unseen=True),
        ],
        **rows.axes(look, names, "since lift-off [d]", -0.01 * last, 1.01 * last),
        height=EDGES + ROW * len(names),
        summary=f"{sentence(log)[:1].upper()}{sentence(log)[1:]}.",
        look=look,
        more=rows.more("overlay"),
    )


def _rows(log: ContactLog) -> list[str]:
    """Return the names of the rows: of each craft its stations, then nobody."""
    craft = dict.fromkeys([x.element for x in log.passes] + [x.element for x in log.silences])
    stations = dict.fromkeys(each.station for each in log.passes)
    return [_row(name, each) for name in craft for each in (*stations, NOBODY)]


def _row(element: str, station: str) -> str:
    return f"{plain(element)}: {station}"


def _bars(
    name: str,
    spans: Iterable[tuple[str, float, float]],
    names: list[str],
    colour: str,
    pattern: str,
    look: Look,
) -> Trace:
    """Return bars by row, begin and end [s]; one of no length where there is none."""
    bars = list(spans) or [(names[-1], 0.0, 0.0)]
    lengths = [(end - begin) / DAY for _, begin, end in bars]
    hover = "for %{x:.3f} d from %{base:.3f} d"
    drawn = rows.part(name, lengths, [x for x, _, _ in bars], colour, pattern, look, hover)
    return {
        **drawn,
        "x": [round(x, 4) for x in lengths],
        "base": [round(begin / DAY, 4) for _, begin, _ in bars],
    }


def _events(log: ContactLog, look: Look, *, unseen: bool) -> Trace:
    """Return burns and events as marks on the row of the first station, or of nobody."""
    chosen = [x for x in log.events if bool(x.stations) != unseen]
    at = [_row(x.element, NOBODY if unseen else x.stations[0]) for x in chosen]
    return {
        "type": "scatter",
        "mode": "markers",
        "name": "burn or event nobody sees" if unseen else "burn or event that is seen",
        "x": [round(x.elapsed / DAY, 4) for x in chosen],
        "y": at,
        "hovertext": [x.event for x in chosen],
        "hoverinfo": "text",
        "marker": {"symbol": MARKED[unseen], "size": 7, "color": look.ink},
    }
