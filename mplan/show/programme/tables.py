"""Tables of workbook 08: flights, critical path, all work with its float, money, clashes, dates."""

from __future__ import annotations

import pandas as pd

from mplan.programme import Calendar
from mplan.show import notebook
from mplan.show.notebook import Words
from mplan.show.programme import columns, readings
from mplan.show.tables import framed


def launches(calendar: Calendar) -> pd.DataFrame:
    """Return one row a flight, in order of lift-off."""
    return framed(columns.launch_columns(calendar), readings.flights(calendar))


def critical_path(calendar: Calendar) -> pd.DataFrame:
    """Return the work that decides when the programme ends, in order of time."""
    return framed(columns.PATH, readings.critical(calendar))


def work(calendar: Calendar) -> pd.DataFrame:
    """Return every task with its float; resources count (see `mplan.programme.Task`)."""
    return framed(columns.WORK, calendar.tasks)


def money(calendar: Calendar) -> pd.DataFrame:
    """Return one row a year: what it costs and what it may."""
    return framed(columns.money_columns(calendar.programme.currency), readings.years(calendar))


def dates(calendar: Calendar, count: int = 12) -> pd.DataFrame:
    """Return the next `count` dates from today on, times in UTC."""
    return framed(columns.DATES, readings.next_dates(calendar)[:count])


def clashes(calendar: Calendar) -> pd.DataFrame | Words:
    """Return what does not fit, a row a remedy that was scheduled anew; a sentence if all fits."""
    rows = [(x, remedy) for x in calendar.clashes for remedy in x.remedies or (None,)]
    return framed(columns.CLASHES, rows) if rows else notebook.sentence("Nothing clashes.")
