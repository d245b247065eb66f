"""What a reader sees first of a programme: headline, cautions, flights, dates, what clashes."""

from __future__ import annotations

from html import escape

from mplan.cautions import CAUTIONS
from mplan.programme import Calendar
from mplan.report.cells import Numbers, chart
from mplan.report.first_screen import HEIGHT, Judged, box, cautions, columns, verdict
from mplan.scenario.severity import SEVERITIES
from mplan.show import programme
from mplan.show.drawn.figure import Picture
from mplan.show.notes import MARKS
from mplan.show.programme import readings
from mplan.show.programme.readings import NO_COMMITMENT

MOST = 4  # dates, and clashes


def of(calendar: Calendar, numbers: Numbers) -> str:
    """Return what a reader sees first of a programme."""
    lines = (CAUTIONS[0], NO_COMMITMENT, *CAUTIONS[1:])
    said = (
        f'<div class="said">{verdict(_judged(calendar), readings.headline(calendar))}'
        f"{cautions(lines)}</div>"
    )
    left = [
        box("picture", "Pads, crews and teams", _picture(calendar, numbers)),
        box("dates", "The next dates", _dates(calendar)),
    ]
    right = [
        box("burns-at-a-glance", "Flights", _flights(calendar)),
        box("decisions", "What does not fit", _clashes(calendar)),
    ]
    return f"{said}\n{columns(left, right)}"


def _judged(calendar: Calendar) -> Judged:
    sign = readings.sign(calendar)
    words = {"✕": "Does not fit", "?": "Fits, with decisions open", "✓": "Fits"}
    styles = {"✕": "stops", "?": "decide", "✓": "closes"}
    return Judged(words[sign], sign, styles[sign])


def _picture(calendar: Calendar, numbers: Numbers) -> str:
    found = programme.resources(calendar)
    return (
        chart(found._repr_mimebundle_()[0], numbers, height=HEIGHT)
        if isinstance(found, Picture)
        else ""
    )


def _flights(calendar: Calendar) -> str:
    rows = "".join(
        f'<tr><th scope="row">{escape(calendar.programme.title(each.mission))}</th>'
        f"<td>{each.begins}</td><td>{each.ends}</td></tr>"
        for each in readings.flights(calendar)
        if each.mission
    )
    head = '<th scope="col">mission</th><th scope="col">lifts off</th><th scope="col">ends</th>'
    return f"<table><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>"


def _dates(calendar: Calendar) -> str:
    items = "".join(
        f"<li>{each.day} {each.hour}{' UTC' * bool(each.hour)} {escape(each.what)}</li>"
        for each in readings.next_dates(calendar)[:MOST]
    )
    return f"<ul>{items}</ul>" if items else "<p>None is ahead.</p>"


def _clashes(calendar: Calendar) -> str:
    grave = sorted(calendar.clashes, key=lambda x: SEVERITIES.index(x.severity))
    if not grave:
        return "<p>Nothing clashes, and no decision is open.</p>"
    items = "".join(
        f'<li><span aria-hidden="true">{MARKS[each.severity]}</span> '
        f"<strong>{each.severity}</strong>: {escape(each.text)}</li>"
        for each in grave[:MOST]
    )
    return f'<ul>{items}</ul><p><a href="#clashes">All {len(grave)}</a></p>'
