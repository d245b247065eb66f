"""Tables of workbook 08, and what is said above and below them."""

from __future__ import annotations

from html import escape

from mplan.programme import Calendar, Clash
from mplan.show import notebook, notes, provenance
from mplan.show.notebook import Table, Words
from mplan.show.programme import columns, readings
from mplan.show.tables import framed

FITS = "Nothing clashes."
NO_WINDOWS = "No launch states windows: each lifts off on any day."


def launches(calendar: Calendar) -> Table:
    """Return one row a flight, in order of lift-off."""
    return Table(framed(columns.launch_columns(calendar), readings.flights(calendar)))


def critical_path(calendar: Calendar) -> Table:
    """Return the work that decides when the programme ends, in order of time."""
    return Table(framed(columns.PATH, readings.critical(calendar)))


def work(calendar: Calendar) -> Table:
    """Return every task with its float; resources count (see `mplan.programme.Task`)."""
    return Table(framed(columns.WORK, calendar.tasks))


def money(calendar: Calendar) -> Table:
    """Return one row a year: what it costs and what it may."""
    shown = columns.money_columns(calendar.programme.currency)
    return Table(framed(shown, readings.years(calendar)))


def windows(calendar: Calendar) -> Table:
    """Return what the launch windows come to, a row a launch that has some."""
    shown = columns.window_columns(calendar)
    return Table(framed(shown, readings.chances(calendar)), NO_WINDOWS)


def dates(calendar: Calendar, count: int = 12) -> Table:
    """Return the next `count` dates from today on, times in UTC."""
    return Table(framed(columns.DATES, readings.next_dates(calendar)[:count]))


def remedies(calendar: Calendar) -> Table:
    """Return what does not fit, a row a change that was scheduled anew; a sentence if all fits."""
    rows = [(x, remedy) for x in calendar.clashes for remedy in x.remedies or (None,)]
    return Table(framed(columns.CLASHES, rows), FITS)


def clashes(calendar: Calendar) -> Words:
    """Return the same as a list: each clash with its changes below it."""
    if not calendar.clashes:
        return notebook.sentence(FITS)
    items = "".join(map(_clash, calendar.clashes))
    text = "\n".join(f"{x.severity}: {x.text}" for x in calendar.clashes)
    return Words(f'<ul style="line-height:1.4">{items}</ul>', text)


def _clash(clash: Clash) -> str:
    tried = "".join(
        f"<li>scheduled anew: {escape(x.change)}: <b>"
        f"{'solves it' if x.closes else 'does not solve it'}</b>; {escape(x.outcome)}</li>"
        for x in clash.remedies
    )
    more = f"<ul>{tried}</ul>" if tried else ""
    sign = notes.MARKS[clash.severity]
    return f"<li>{sign} <b>{clash.severity}</b>: {escape(clash.text)}{more}</li>"


def verdict(calendar: Calendar) -> Words:
    """Return from when to when the programme runs, what does not fit, and how sure that is."""
    said, proof = readings.headline(calendar), readings.proof(calendar)
    proof = f"{proof[0].upper()}{proof[1:]}."
    return Words(
        f'<p role="status" style="font-size:115%"><b>{readings.sign(calendar)} {escape(said)}</b>'
        f"</p><p>{escape(proof)}</p>",
        f"{said}\n{proof}",
    )


def made_from(calendar: Calendar) -> Words:
    """Return where the calendar comes from: file, missions' scenarios, versions, date."""
    programme = calendar.programme
    hashes = {x.scenario.source.name: x.scenario.hash for x in programme.scenarios.values()}
    return notebook.facts(
        {
            "programme": programme.name,
            "file": programme.source.name,
            "planned from": str(programme.today),
            "scenarios, each with its hash": ", ".join(
                f"{name} {made}" for name, made in sorted(hashes.items())
            )
            or "none",
            **provenance.machinery(),
        }
    )


def cautions() -> Words:
    """Return what dates, costs and numbers are not for."""
    first, rest = notebook.sentence(readings.NO_COMMITMENT), notebook.cautions()
    return Words(f"{first.html}{rest.html}", f"{first}\n{rest}")
