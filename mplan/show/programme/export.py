"""A programme's calendar as iCalendar (RFC 5545), for the calendars that people keep.

Work fills whole days; what is flown, or lifts off in a known window, has its time in UTC.
"""

from __future__ import annotations

import re
from datetime import date, datetime, timedelta

from icalendar import Calendar as Sheet
from icalendar import Event, vText

from mplan.programme import Calendar, DatedEvent, MissionWindow, Task
from mplan.show.programme.readings import NO_COMMITMENT, timed

MAKER = "-//mplan//programme//EN"


def icalendar_text(calendar: Calendar, written: datetime) -> str:
    """Return the calendar as iCalendar text, its lines ended by CRLF; `written` is now, in UTC.

    The same task keeps its UID from one export to the next, so that a calendar that takes the
    file in again moves it rather than showing it twice.
    """
    sheet = Sheet()
    sheet.add("prodid", MAKER)
    sheet.add("version", "2.0")
    sheet.add("x-wr-calname", vText(calendar.programme.name))
    for task in calendar.tasks:
        sheet.add_component(_task(calendar, task, written))
    numbers: dict[str, int] = {}
    for event in calendar.events:
        key = f"event:{event.mission}:{event.ship or ''}:{event.name}"
        numbers[key] = numbers.get(key, 0) + 1
        sheet.add_component(_event(calendar, event, f"{key}:{numbers[key]}", written))
    for window in calendar.windows:
        sheet.add_component(_window(calendar, window, written))
    text: str = sheet.to_ical().decode("utf-8")
    return text


def _entry(calendar: Calendar, key: str, title: str, written: datetime) -> Event:
    entry = Event()
    entry.add("uid", f"{_plain(key)}@{_plain(calendar.programme.name)}.mplan")
    entry.add("dtstamp", written)
    entry.add("summary", title)
    return entry


def _plain(text: str) -> str:
    return re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")


def _days(entry: Event, begins: date, ends: date) -> None:
    """Fill whole days; the end is the morning after the last one, as RFC 5545 3.6.1 has it."""
    entry.add("dtstart", begins)
    entry.add("dtend", max(ends, begins + timedelta(days=1)))
    entry.add("transp", "TRANSPARENT")


def _task(calendar: Calendar, task: Task, written: datetime) -> Event:
    entry = _entry(calendar, task.key, task.name, written)
    _days(entry, task.begins, task.ends)
    said = "critical path" if task.critical else f"float {task.float_days:,.0f} d"
    said = "dated by the programme's file" if task.stated else said
    entry.add("description", f"{task.kind}, {said}. {NO_COMMITMENT}")
    entry.add("categories", [task.kind])
    return entry


def _event(calendar: Calendar, event: DatedEvent, key: str, written: datetime) -> Event:
    ship = f" ({event.ship})" if event.ship else ""
    title = f"{calendar.programme.title(event.mission)}: {event.name}{ship}"
    entry = _entry(calendar, key, title, written)
    if timed(calendar, event):
        entry.add("dtstart", event.when.replace(microsecond=0))
    else:
        _days(entry, event.when.date(), event.when.date())
    entry.add("categories", ["event"])
    return entry


def _window(calendar: Calendar, window: MissionWindow, written: datetime) -> Event:
    title = f"{calendar.programme.title(window.mission)}: launch window"
    key = f"window:{window.mission}:{window.opens:%Y%m%dT%H%M}"
    entry = _entry(calendar, key, title, written)
    entry.add("dtstart", window.opens.replace(microsecond=0))
    entry.add("dtend", window.closes.replace(microsecond=0))
    entry.add("description", "lifts off in it" if window.met else "not used")
    entry.add("categories", ["launch window"])
    return entry
