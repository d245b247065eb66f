"""The findings over time: what stops the flight, what asks a decision, and at which event."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from mplan.checks.finding import Finding
from mplan.physics.constants import DAY
from mplan.plan import Plan
from mplan.scenario.severity import SEVERITIES
from mplan.scenario.wording import plain
from mplan.show.drawn import palette, rows
from mplan.show.drawn.figure import Drawing, Trace
from mplan.show.drawn.palette import Look, Theme
from mplan.show.notes import MARKS

ROW, EDGES = 26, 110  # px: a finding, and what stands above and below all of them
MOST = 16  # findings, the gravest
LONG = 58  # letters of what is said beside a mark
ASIDE = 0.17  # of the mission's time, left of lift-off: for what happens at no one time
SYMBOLS = ("diamond", "circle", "circle-open")  # by how grave


class MarkedFinding(NamedTuple):
    """A finding, its row, and when [d since lift-off]; None where it is about no one event."""

    finding: Finding
    row: str
    at: float | None


def drawing(plan: Plan, theme: Theme | None = None) -> Drawing:
    """Return a row a finding, the gravest on top, marked where it arises."""
    look, placed = palette.look(theme), placed_of(plan)
    days = max(1.0, plan.flight.duration / DAY)
    aside = -ASIDE * days
    names = [each.row for each in placed]
    axes = rows.axes(look, names, "days since lift-off [d]", 1.9 * aside, 1.75 * days)
    ticks = list(range(0, int(days) + 1, max(1, round(days / 10))))
    axes["x"] |= {"tickvals": [aside, *ticks], "ticktext": ["no one time", *map(str, ticks)]}
    return Drawing(
        traces=[_marks(each, placed, aside, look) for each in SEVERITIES]
        + [_words(placed, aside, look)],
        **axes,
        height=EDGES + ROW * max(1, len(placed)),
        summary=summary(plan),
        look=look,
        more=rows.more("overlay"),
    )


def summary(plan: Plan) -> str:
    """Return how many findings there are of each kind, and what stops the flight."""
    counts = [(sum(x.severity == each for x in plan.findings), each) for each in SEVERITIES]
    told = ", ".join(f"{count} {name}" for count, name in counts if count)
    left = len(plan.findings) - MOST
    more = f"; {left} of the least grave are not drawn" if left > 0 else ""
    return f"Findings: {told or 'none, all checks passed'}{more}."


def placed_of(plan: Plan) -> list[MarkedFinding]:
    """Return the gravest findings, each with a row of its own name and its time."""
    found: list[MarkedFinding] = []
    for number, each in enumerate(plan.findings[:MOST], 1):
        of_ship = f"{plain(each.ship)}: " if each.ship else ""
        row = f"{number}  {MARKS[each.severity]} {of_ship}{each.check}, {plain(each.event)}"
        found.append(MarkedFinding(each, row, _when(each, plan)))
    return found


def _when(finding: Finding, plan: Plan) -> float | None:
    """Return when the event of a finding comes, by its ship's own events; None for no event."""
    for name, ship, shift in plan.flight.ships:
        if name == finding.ship:
            for each in ship.passages:
                if finding.event in (each.moment.event, each.event.title):
                    return (each.moment.elapsed + shift) / DAY
    return None


def _marks(severity: str, placed: Sequence[MarkedFinding], aside: float, look: Look) -> Trace:
    own = [each for each in placed if each.finding.severity == severity]
    rank = SEVERITIES.index(severity)
    return {
        "type": "scatter",
        "mode": "markers",
        "name": severity,
        "x": [round(_across(each, aside), 3) for each in own],
        "y": [each.row for each in own],
        "marker": {
            "size": 11 - rank,
            "symbol": SYMBOLS[rank],
            "color": (look.bad, look.second, look.ink)[rank],
        },
        "hovertext": [each.finding.text for each in own],
        "hoverinfo": "text",
        "cliponaxis": False,
    }


def _words(placed: Sequence[MarkedFinding], aside: float, look: Look) -> Trace:
    texts = [_short(each.finding) for each in placed]
    ends = [_across(each, aside) for each in placed]
    names = [each.row for each in placed]
    return rows.words(texts, ends, names, look, [each.finding.text for each in placed], digits=3)


def _across(each: MarkedFinding, aside: float) -> float:
    return aside if each.at is None else each.at


def _short(finding: Finding) -> str:
    said = f"{finding.found}, limit {finding.limit}"
    return said if len(said) <= LONG else f"{said[: LONG - 1].rstrip(' ,;(')}…"
