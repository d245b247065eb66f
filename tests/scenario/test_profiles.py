"""The usual events of each kind of mission load, make sense, and can be pasted into the file."""

import pytest

from mplan.scenario import load, profiles
from mplan.scenario.events import EVENT_BY_KIND

MISSIONS = ["landing", "orbit", "flyby"]


@pytest.mark.parametrize("name", MISSIONS)
def test_pasted_into_the_file_they_are_the_same(folder, state_events, name):
    before = load(f"{name}.toml")
    state_events(f"{name}.toml")
    after = load(f"{name}.toml")  # now checked as a planner's own: order, names, burns
    assert "events" in after._data
    assert after.events == before.events


@pytest.mark.parametrize("name", MISSIONS)
def test_all_but_the_crew_is_left_behind_and_they_come_home(folder, name):
    scenario = load(f"{name}.toml")
    gone = [each for event in scenario.events if event.do == "jettison" for each in event.elements]
    assert sorted(gone) == sorted(set(scenario.stack) - {"crew_module"})
    assert [event.do for event in scenario.events[-2:]] == ["enter", "splash"]


def _outline(scenario):
    return [
        getattr(event, "leg", None) or event.do
        for event in scenario.events
        if event.do in ("burn", "land", "stay") or getattr(event, "leg", None)
    ]


def test_landing_in_outline(landing):
    assert _outline(landing) == [
        "climb",
        "climb",
        "parking orbit",
        "translunar injection",
        "outbound correction",
        "translunar coast",
        "lunar-orbit insertion",
        "descent-orbit insertion",
        "descent coast",
        "powered descent",
        "land",
        "stay",
        "lunar ascent",
        "rendezvous",
        "trans-Earth injection",
        "homeward correction",
        "transearth coast",
    ]


def test_orbit_in_outline(folder):
    assert _outline(load("orbit.toml")) == [
        "climb",
        "climb",
        "parking orbit",
        "translunar injection",
        "outbound correction",
        "translunar coast",
        "lunar-orbit insertion",
        "lunar-orbit circularisation",
        "stay",
        "trans-Earth injection",
        "homeward correction",
        "transearth coast",
    ]


def test_flyby_in_outline(folder):
    assert _outline(load("flyby.toml")) == [
        "climb",
        "parking orbit",
        "translunar injection",
        "outbound correction",
        "translunar coast",
        "homeward correction",
        "transearth coast",
    ]


def test_without_a_transfer_stage_the_last_launch_stage_injects(folder):
    burns = [event for event in load("orbit.toml").events if event.do == "burn"]
    assert [(burn.leg, burn.element) for burn in burns[:3]] == [
        ("climb", "first_stage"),
        ("climb", "second_stage"),
        ("translunar injection", "second_stage"),
    ]


def test_crew_of_the_lander_goes_and_comes_back(landing):
    moves = [event for event in landing.events if event.do == "transfer crew"]
    assert [(move.crew, move.origin, move.target) for move in moves] == [
        (2, "crew_module", "ascent_stage"),
        (2, "ascent_stage", "crew_module"),
    ]


def test_events_as_text():
    events = [
        {"do": "coast", "name": 'the "long" one', "duration": "3 h"},
        {"do": "jettison", "elements": ["a", "b"]},
    ]
    assert profiles.as_toml(events) == (
        '[[events]]\ndo = "coast"\nname = "the \\"long\\" one"\nduration = "3 h"\n'
        '\n[[events]]\ndo = "jettison"\nelements = ["a", "b"]\n'
    )


@pytest.mark.parametrize(
    ("event", "title"),
    [
        ({"do": "lift-off"}, "lift-off"),
        ({"do": "lift-off", "name": "up"}, "up"),
        ({"do": "burn", "leg": "lunar ascent", "element": "a"}, "lunar ascent"),
        ({"do": "jettison", "elements": ["a_b"]}, "jettison a b"),
        ({"do": "jettison", "elements": ["a", "b", "c"]}, "jettison a, b and c"),
        ({"do": "dock", "element": "a", "target": "b", "duration": "1 h"}, "dock a to b"),
        ({"do": "undock", "elements": ["a", "b"], "duration": "1 h"}, "undock a and b"),
        (
            {"do": "transfer crew", "crew": 1, "origin": "a", "target": "b", "duration": "1 h"},
            "transfer crew to b",
        ),
        ({"do": "coast", "leg": "parking orbit"}, "parking orbit"),
        ({"do": "coast", "duration": "1 h"}, "coast"),
        ({"do": "land"}, "touchdown on the Moon"),
        ({"do": "stay"}, "stay at the Moon"),
        ({"do": "enter", "element": "crew_module"}, "atmospheric entry"),
        ({"do": "splash"}, "splashdown"),
    ],
)
def test_titles(event, title):
    assert EVENT_BY_KIND[event["do"]].model_validate(event).title == title
