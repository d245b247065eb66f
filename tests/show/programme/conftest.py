"""A small programme, scheduled once, with a window and an event of a known hour laid in."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timezone
from pathlib import Path

import pytest

from mplan.programme import DatedEvent, MissionWindow, load_programme, plan_programme

SMALL = Path(__file__).with_name("small.toml")


def moment(day: int, hour: int) -> datetime:
    return datetime(2031, 9, day, hour, 30, tzinfo=timezone.utc)


@pytest.fixture(scope="session")
def small():
    return plan_programme(load_programme(SMALL))


@pytest.fixture(scope="session")
def busy(small):
    """The same with two windows and a correction at a known hour."""
    windows = tuple(
        MissionWindow("first_trial", moment(day, 4), moment(day, 6), met)
        for day, met in ((3, False), (9, True))
    )
    event = DatedEvent("first_trial", "outbound correction", moment(10, 7))
    return replace(small, windows=windows, events=(*small.events, event))
