"""One list of events for the whole mission: each goes to the ship that it names, in order."""

from __future__ import annotations

from pathlib import Path

import pytest

import mplan
from mplan.scenario import Scenario, ScenarioError
from mplan.scenario.ships import one_list

SCENARIOS = Path(mplan.__file__).parents[1] / "scenarios"
BASE = (SCENARIOS / "two_launches.toml").as_posix()


@pytest.fixture(scope="module")
def mission() -> Scenario:
    return mplan.load(BASE)


@pytest.fixture(scope="module")
def text(mission) -> str:
    """A mission of two ships, all its events in one list."""
    head = f'format = "mplan-scenario/2"\nbased_on = "{BASE}"\n\n'
    return head + mission.events_as_toml(together=True)


@pytest.fixture
def written(tmp_path):
    """A function that writes a text and loads it."""

    def of(text: str) -> Scenario:
        file = tmp_path / "mine.toml"
        file.write_text(text, "utf-8")
        return mplan.load(file)

    return of


def test_events_are_dealt_out():
    """By hand: of five events two are the tug's, in their order; nothing else moves."""
    events = [{"do": x, **({"ship": "tug"} if x in "bd" else {})} for x in "abcde"]
    parts = one_list.dealt({"events": events, "ships": {"tug": {"stack": []}}}, ("tug",))
    assert [x["do"] for x in parts.data["events"]] == ["a", "c", "e"]
    assert parts.data["ships"]["tug"] == {"stack": [], "events": [{"do": "b"}, {"do": "d"}]}
    assert parts.as_written(("events", 2, "do")) == ("events", 4, "do")
    assert parts.as_written(("ships", "tug", "events", 1)) == ("events", 3)
    assert parts.as_written(("ships", "tug", "stack")) == ("ships", "tug", "stack")


def test_the_same_mission(mission, text, written):
    """Dealt out, the list says what lists under each ship say."""
    again = written(text)
    assert again.events == mission.events
    assert again.views["lander"].events == mission.views["lander"].events
    assert again.hash == written(text.partition("[[events]]")[0] + mission.events_as_toml()).hash


def test_what_is_wrong_has_its_line(text, written):
    """A ship that is not there, and an element in an event of a ship: at the lines in the file."""
    wrong = text.replace('ship = "lander"', 'ship = "landr"', 1)
    line = wrong[: wrong.index("landr")].count("\n") + 1
    with pytest.raises(
        ScenarioError, match=rf"mine.toml:{line}: events.0.ship: found .landr.; acc"
    ):
        written(wrong)
    wrong = text.replace('element = "upper_stage"', 'element = "nothing"', 1)
    line = wrong[: wrong.index('"nothing"')].count("\n") + 1
    with pytest.raises(
        ScenarioError, match=rf"mine.toml:{line}: ships.lander.events.3.element: no"
    ):
        written(wrong)


def test_not_both_forms(text, written):
    """Events of a ship stand in one place."""
    both = text + '\n[[ships.lander.events]]\ndo = "lift-off"\n'
    with pytest.raises(ScenarioError, match=r"given under ships.lander.events too; leave one"):
        written(both)
    named = text.partition("[[events]]")[0]
    named += '[[ships.lander.events]]\ndo = "lift-off"\nship = "lander"\n'
    with pytest.raises(ScenarioError, match=r"mine.toml:6: ships.lander.events.0.ship: found"):
        written(named)


def test_a_ship_s_event_is_changed_and_saved(text, written, tmp_path):
    """A change finds the event in the one list, whose order and other lines stay."""
    read = written(text)
    changed = read.change(
        {"ships.lander.events.3.name": "second climb", "events.1.name": "first climb"}
    )
    saved = changed.save(tmp_path / "mine.toml")
    assert saved.views["lander"].events[3].name == "second climb"
    assert saved.events[1].name == "first climb"
    now = (tmp_path / "mine.toml").read_text("utf-8")
    assert now.count("[[events]]") == text.count("[[events]]")
    assert len(now.splitlines()) == len(text.splitlines())


def test_a_list_that_is_changed_is_dealt_out_too(mission):
    """As where it stands in a file."""
    both = [*({**x, "ship": "lander"} for x in mission.views["lander"].events_as_written())]
    both += mission.events_as_written()
    again = mission.change("events", both)
    assert again.events == mission.events
    assert again.views["lander"].events == mission.views["lander"].events
    with pytest.raises(ScenarioError, match=r"accepted: .lander"):
        mission.change("events", [{**both[0], "ship": "nobody"}, *both[1:]])
