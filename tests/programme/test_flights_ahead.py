"""What is flown before a calendar is worked out, and what is told of it."""

from __future__ import annotations

from datetime import date

import pytest

from mplan.programme import flights_ahead, load_programme
from mplan.scenario import ScenarioError
from tests.programme.conftest import SMALL

UNSTATED = ('duration = "8 d"\n', "")
FLOWN = "[missions.second]\nflown = true\nlaunch = {}\n"


@pytest.fixture
def flights(monkeypatch):
    """The flights that were asked for, by scenario and day; none is flown."""
    asked = []
    monkeypatch.setattr(
        flights_ahead, "flown", lambda scenario, day=None: asked.append((scenario.source.stem, day))
    )
    return asked


def told(programme):
    heard = []
    flights_ahead.fly_ahead(programme, lambda *step: heard.append(step))
    return heard


def test_nothing_is_flown_where_all_is_stated(written, flights):
    assert told(load_programme(written())) == [(0, 0, "calendar")]
    assert not flights


def test_missions_of_one_scenario_count_once(written, flights):
    """Both missions fly the same file, whose duration is wanted."""
    programme = load_programme(written(SMALL, UNSTATED, UNSTATED))
    assert told(programme) == [(0, 1, "First"), (1, 1, "calendar")]
    assert flights == [("orbit_and_return", None)]


@pytest.mark.parametrize(("left", "asked"), [("2030-12-27", True), ("2030-12-20", False)])
def test_a_flight_under_way_is_flown_on_its_day(written, flights, left, asked):
    """Eight days from the 27th it is still under way on 1 January; from the 20th it is over."""
    programme = load_programme(written(SMALL, ("[missions.second]", FLOWN.format(left))))
    assert told(programme) == [(0, 1, "Second"), (1, 1, "calendar")]
    assert flights == ([("orbit_and_return", date.fromisoformat(left))] if asked else [])


def test_a_flight_under_way_that_cannot_be_flown_is_no_error(written, monkeypatch):
    """The calendar has both its ends; a scenario whose duration is wanted must fly."""

    def fail(scenario, day=None):
        raise ScenarioError([])

    monkeypatch.setattr(flights_ahead, "flown", fail)
    left = ("[missions.second]", FLOWN.format("2030-12-27"))
    assert told(load_programme(written(SMALL, left)))[-1] == (1, 1, "calendar")
    with pytest.raises(ScenarioError):
        told(load_programme(written(SMALL, UNSTATED)))
