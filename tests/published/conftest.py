"""Published tables, kept verbatim in data/ with their sources and units."""

import csv
from datetime import datetime
from pathlib import Path

import pytest

DATA = Path(__file__).parent / "data"


def value(text):
    """Read a cell: a number, a date, hours:minutes:seconds as seconds, or plain text."""
    if text.count(":") == 2 and "T" not in text:
        hours, minutes, seconds = (float(part) for part in text.split(":"))
        return 3600.0 * hours + 60.0 * minutes + seconds
    for kind in (float, datetime.fromisoformat):
        try:
            return kind(text)
        except ValueError:
            pass
    return text or None


@pytest.fixture(scope="session")
def table():
    """Return a function that reads data/<name>.csv as rows keyed by the first column."""

    def read(name):
        lines = (DATA / f"{name}.csv").read_text("utf-8").splitlines()
        rows = csv.DictReader(line for line in lines if not line.startswith("#"))
        cells = [{key: value(text) for key, text in row.items()} for row in rows]
        return {next(iter(row.values())): row for row in cells}

    return read
