"""The questions that the report of a programme answers, each with one sentence of its calendar."""

from __future__ import annotations

from mplan.programme import Calendar
from mplan.report.chapters import ChapterQuestion
from mplan.show.programme import readings
from mplan.show.programme.readings import MILLION


def _flights(calendar: Calendar) -> str:
    flown = readings.flights(calendar)
    if not flown:
        return "No flight is planned."
    return f"{len(flown)} flights, from {flown[0].begins} to {flown[-1].ends}."


def _work(calendar: Calendar) -> str:
    return f"All work ends on {calendar.finish}; {readings.proof(calendar)}."


def _windows(calendar: Calendar) -> str:
    found = readings.chances(calendar)
    if not found:
        return "No launch has windows that are stated or flown."
    missed = sum(each.missed for each in found)
    return f"{len(found)} launches have windows; {missed} windows are missed before the ones met."


def _path(calendar: Calendar) -> str:
    found = readings.critical(calendar)
    begins = f", beginning with {found[0].name}" if found else ""
    return f"{len(found)} pieces of work are on the critical path{begins}."


def _clashes(calendar: Calendar) -> str:
    count = len(calendar.clashes)
    stops = "; they stop the programme" if readings.stopped(calendar) else ""
    return f"{count} clash{'es' * (count != 1)}{stops}." if count else "Nothing clashes."


def _changes(calendar: Calendar) -> str:
    return "Each case is planned anew, with all other launches around it."


def _money(calendar: Calendar) -> str:
    over = [x.year for x in readings.years(calendar) if x.over is not None]
    spent = sum(x.total for x in readings.years(calendar)) / MILLION
    total = f"{spent:,.0f} M {calendar.programme.currency} in all"
    beyond = f"; over the budget in {', '.join(map(str, over))}" if over else ""
    return f"{total}{beyond}."


def _dates(calendar: Calendar) -> str:
    coming = readings.next_dates(calendar)
    return f"The next one: {coming[0].day}, {coming[0].what}." if coming else "None is ahead."


def _basis(calendar: Calendar) -> str:
    return f"The same file, {calendar.programme.source.name}, and scenarios give the same dates."


QUESTIONS = (
    ChapterQuestion("flights", "When does each mission fly?", _flights),
    ChapterQuestion("clashes", "What does not fit, and what would mend it?", _clashes),
    ChapterQuestion("windows", "Which launch windows are met?", _windows),
    ChapterQuestion("work", "Who works when?", _work),
    ChapterQuestion("path", "What holds the end?", _path),
    ChapterQuestion("changes", "What if a window is missed or a build takes longer?", _changes),
    ChapterQuestion("money", "What does it cost, year by year?", _money),
    ChapterQuestion("dates", "Which dates come next?", _dates),
    ChapterQuestion("basis", "How far do these dates hold?", _basis, titled=True),
)
