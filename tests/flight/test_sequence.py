"""The order of events, judged before anything is flown: each fault by its sentence and line."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import tomlkit
from hypothesis import given, settings
from hypothesis import strategies as st

import mplan
from mplan.flight.sequence import faults
from mplan.plan import Plan

HERE = Path(__file__).parent.parent
FILES = sorted([*(HERE / "missions").glob("*.toml"), *(HERE.parent / "scenarios").glob("*.toml")])
LANDING = mplan.load(HERE / "missions/reference_landing.toml")
BOOSTED = mplan.load(HERE.parent / "scenarios/first_landing.toml")

Events = list[dict[str, Any]]


def events_of(scenario: mplan.Scenario) -> Events:
    """The events as a file states them, to be edited."""
    return tomlkit.parse(scenario.events_as_toml()).unwrap()["events"]


def index_of(events: Events, **keys: object) -> int:
    """The first event with these keys."""
    return next(i for i, x in enumerate(events) if keys.items() <= x.items())


def told(scenario: mplan.Scenario, edit: Callable[[Events], object]) -> list[str]:
    """The faults of a scenario whose events are edited, as "events.N: sentence"."""
    events = events_of(scenario)
    edit(events)
    found = faults(scenario.change("events", events))
    return [f"{'.'.join(map(str, each.path))}: {each.text}" for each in found]


def without(**keys: object) -> Callable[[Events], object]:
    return lambda events: events.pop(index_of(events, **keys))


def swapped(**keys: object) -> Callable[[Events], object]:
    """Exchange an event and the next one."""

    def edit(events: Events) -> None:
        i = index_of(events, **keys)
        events[i : i + 2] = events[i + 1], events[i]

    return edit


def again(**keys: object) -> Callable[[Events], object]:
    """Repeat an event at once."""

    def edit(events: Events) -> None:
        i = index_of(events, **keys)
        events.insert(i, events[i])

    return edit


def put(changes: dict[str, object], **keys: object) -> Callable[[Events], object]:
    return lambda events: events[index_of(events, **keys)].update(changes)


def moved(to: dict[str, object], **keys: object) -> Callable[[Events], object]:
    """Take an event out and put it before another one."""

    def edit(events: Events) -> None:
        event = events.pop(index_of(events, **keys))
        events.insert(index_of(events, **to), event)

    return edit


def burn(leg: str) -> dict[str, object]:
    return {"do": "burn", "leg": leg}


@pytest.mark.parametrize("file", FILES, ids=lambda file: f"{file.parent.name}/{file.stem}")
def test_missions_as_they_are_have_no_fault(file):
    assert faults(mplan.load(file)) == ()


FIRST, TOWER = {"elements": ["first_stage"]}, {"elements": ["escape_tower"]}
BAY = {"elements": ["transfer_stage", "lander_bay"]}
TO_LANDER = {"do": "transfer crew", "target": "ascent_stage"}
TO_SHIP = {"do": "transfer crew", "target": "crew_module"}
TRANSPOSITION = {"do": "dock", "element": "crew_module"}
MEETING = {"do": "dock", "element": "ascent_stage"}

FAULTS = {
    "stage never jettisoned": (
        without(**FIRST),
        "events.2: first_stage is never jettisoned; it is carried to the Moon",
    ),
    "tower never jettisoned": (
        without(**TOWER),
        "events.7: escape_tower is never jettisoned; it is carried to the Moon",
    ),
    "stage and bay never jettisoned": (
        without(**BAY),
        "events.13: transfer_stage is never jettisoned; it is carried to the Moon",
        "events.13: lander_bay is never jettisoned; it is carried to the Moon",
    ),
    "jettisoned twice": (
        again(**FIRST),
        "events.3: first_stage is jettisoned twice, here and by events.2",
    ),
    "jettisoned before its burn": (
        moved({"do": "burn"}, **FIRST),
        "events.1: first_stage is jettisoned before its burn, events.2",
    ),
    "lit on top of the stage below": (
        swapped(**FIRST),
        "events.2: second_stage is lit on top of first_stage, jettisoned only by events.3",
    ),
    "lit inside its bay": (
        lambda events: events.insert(
            index_of(events, **BAY),
            {"do": "burn", "leg": "outbound correction", "element": "descent_stage"},
        ),
        "events.10: descent_stage is lit inside lander_bay, jettisoned only by events.11",
    ),
    "burn after its element is gone": (
        moved(burn("trans-Earth injection"), elements=["service_module"]),
        "events.33: service_module burns after it is jettisoned by events.32",
        "events.35: service_module burns after it is jettisoned by events.32",
    ),
    "no crew transfer": (
        without(**TO_LANDER),
        "events.21: nobody boards the lander (descent_stage and ascent_stage): there is no crew "
        "transfer before it",
    ),
    "too few": (
        put({"crew": 1}, **TO_LANDER),
        "events.22: 1 of the crew are aboard the lander (descent_stage and ascent_stage), 2 are "
        "to land",
    ),
    "more than there are seats": (
        put({"crew": 3}, **TO_LANDER),
        "events.18: ascent_stage has 2 seats, 3 would be aboard",
        "events.22: 3 of the crew are aboard the lander (descent_stage and ascent_stage), 2 are "
        "to land",
    ),
    "more than there are": (
        put({"crew": 3}, **TO_SHIP),
        "events.29: ascent_stage has 2 aboard, 3 are to leave it",
        "events.29: crew_module has 3 seats, 4 would be aboard",
    ),
    "crew left in a ship that is dropped": (
        without(**TO_SHIP),
        "events.29: ascent_stage is jettisoned with 2 of the crew aboard",
    ),
    "crew left on the Moon": (
        lambda events: events.insert(
            index_of(events, elements=["descent_stage"]),
            {**events[index_of(events, **TO_LANDER)], "origin": "ascent_stage"}
            | {"target": "descent_stage", "crew": 1},
        ),
        "events.25: descent_stage has 0 seats, 1 would be aboard",
        "events.26: descent_stage is jettisoned with 1 of the crew aboard",
    ),
    "no docking after the injection": (
        without(**TRANSPOSITION),
        "events.9: lander_bay is jettisoned with descent_stage and ascent_stage still inside: no "
        "docking holds it",
    ),
    "no docking in lunar orbit": (
        without(**MEETING),
        "events.28: ascent_stage and crew_module are not docked; nobody can move over",
    ),
    "docked before the rendezvous": (
        swapped(**burn("rendezvous")),
        "events.27: ascent_stage docks to crew_module before the rendezvous, events.28",
    ),
    "docked already": (
        again(**TRANSPOSITION),
        "events.10: crew_module and ascent_stage are docked already",
    ),
    "dock without a port": (
        put({"element": "service_module"}, **TRANSPOSITION),
        "events.9: service_module has no docking port",
    ),
    "tower carried along": (
        lambda events: (
            events.insert(index_of(events, **BAY), {"do": "jettison", "elements": ["escape_tower"]})
            or events.pop(index_of(events, **TOWER))
        ),
        "events.7: escape_tower is carried through the translunar injection, jettisoned only by "
        "events.9",
    ),
    "no undocking": (
        without(do="undock"),
        "events.19: descent_stage burns with crew_module and service_module still docked: there "
        "is no undocking",
    ),
    "landing stage jettisoned before the descent": (
        moved(burn("descent-orbit insertion"), elements=["descent_stage"]),
        "events.20: descent_stage is jettisoned before its burn, events.21",
    ),
    "landing stage jettisoned on the way down": (
        moved(burn("powered descent"), elements=["descent_stage"]),
        "events.23: descent_stage burns after it is jettisoned by events.22",
    ),
    "landing before the descent": (
        swapped(**burn("powered descent")),
        "events.22: touchdown on the Moon comes before powered descent, events.23, which it "
        "follows",
    ),
    "no stay": (
        without(do="stay"),
        'events: there is no stay at the Moon; missing: do = "stay"',
    ),
    "no landing burn": (
        without(**burn("powered descent")),
        'events: nothing lands the lander; missing: do = "burn", leg = "powered descent"',
    ),
    "no parking coast": (
        without(leg="parking orbit"),
        "events: there is no parking-orbit coast between the climb and the translunar injection; "
        'missing: do = "coast", leg = "parking orbit"',
    ),
    "a double insertion": (
        again(**burn("lunar-orbit insertion")),
        "events.15: lunar-orbit insertion a second time, after events.14",
    ),
    "corrections in each other's place": (
        put({"leg": "outbound correction"}, **burn("homeward correction")),
        "events.34: outbound correction comes after translunar coast, events.13, which it precedes",
    ),
    "burn after splashdown": (
        lambda events: events.append({"do": "coast", "duration": "1 h"}),
        "events.39: coast comes after splashdown",
    ),
    "kept through the entry": (
        without(elements=["service_module"]),
        "events.36: service_module is kept through the entry: it is never jettisoned",
    ),
    "stage left under the ascent stage": (
        without(elements=["descent_stage"]),
        "events.25: descent_stage is never jettisoned; ascent_stage burns into it at lunar ascent",
    ),
    "something else enters": (
        put({"element": "service_module"}, do="enter"),
        "events.37: atmospheric entry: service_module has been jettisoned before, by events.36",
    ),
    "a time that counts from no climb burn": (
        put({"at": "20 s"}, **BAY),
        "events.10: its time `at` counts from the ignition of a climb burn; none is listed before "
        "it",
    ),
}


@pytest.mark.parametrize("name", FAULTS)
def test_one_fault(name):
    edit, *expected = FAULTS[name]
    found = told(LANDING, edit)
    assert found == expected


def test_strap_ons_that_are_never_lit():
    """They stand beside a stage and no event burns them with it."""
    found = told(BOOSTED, lambda events: events[1].pop("beside"))
    assert found == ["stack.0: booster_pair is never lit; it stands beside core_stage"]


def test_strap_ons_that_are_never_dropped():
    """They burn with the core and no event names them when it goes."""
    found = told(BOOSTED, put({"elements": ["core_stage"]}, do="jettison"))
    assert found == ["events.7: booster_pair is never jettisoned; it is carried to the Moon"]


def test_a_dock_whose_ports_do_not_fit():
    """Two active ports do not mate; the key says what is aboard."""
    scenario = LANDING.change("elements.ascent_stage.docking_port", "active")
    assert next(iter(faults(scenario))).text == (
        "crew_module has an active docking port, ascent_stage an active one: they do not fit"
    )
    alike = {f"elements.{x}.docking_port": "androgynous" for x in ("ascent_stage", "crew_module")}
    assert faults(LANDING.change(alike)) == ()


def test_seats_for_all_at_lift_off():
    """The crew module carries everybody from the pad."""
    fault = faults(LANDING.change("elements.crew_module.seats", 2))[0]
    assert fault.text == "crew_module has 2 seats, 3 are to lift off in it"


def test_nothing_is_flown_and_the_line_is_named():
    """The plan is a result: it does not close, says where, and flies nothing."""
    events = events_of(BOOSTED)
    del events[index_of(events, elements=["upper_stage"])]
    plan = mplan.fly(BOOSTED.change("events", events))
    first = plan.findings[0]
    assert (first.check, first.severity) == ("sequence", "stops the flight")
    assert first.text == "events.6: upper_stage is never jettisoned; it is carried to the Moon"
    assert plan.flight.passages == ()
    assert plan.verdict == f"First Landing does not close: {first.text}"


def test_the_line_in_the_file(tmp_path):
    """A fault of a file is told with the line of its event."""
    text = (HERE.parent / "scenarios/first_landing.toml").read_text("utf-8")
    text = text.replace('from = "', f'from = "{HERE.parent / "scenarios"}/')
    gone = '[[events]]\ndo = "jettison"\nelements = ["upper_stage"]\n\n'
    assert gone in text
    file = tmp_path / "mine.toml"
    file.write_text(text.replace(gone, ""), "utf-8")
    finding = mplan.fly(mplan.load(file)).findings[0]
    lines = file.read_text("utf-8").splitlines()
    path, line = finding.where.rsplit(":", 1)
    assert Path(path).name == "mine.toml"
    assert lines[int(line) - 1 :][:3] == [
        "[[events]]",
        'do = "burn"',
        'leg = "translunar injection"',
    ]


def _checked(plan: Plan) -> None:
    """Time runs forward, and a fault never closes."""
    flight = plan.flight
    times = [each.after.elapsed for each in flight.passages]
    assert times == sorted(times)
    assert not (plan.closes and flight.faults)
    assert bool(flight.faults) <= (flight.passages == ())


DEPENDENT = {
    ("lift-off", "burn"),
    ("undock", "burn"),
    ("land", "stay"),
    ("enter", "splash"),
    ("dock", "transfer crew"),
}


@settings(max_examples=25, deadline=None, derandomize=True)
@given(st.data())
def test_events_dropped_swapped_and_repeated(data):
    """Whatever becomes of the list: an answer, time that runs forward, no fault that closes."""
    scenario = data.draw(st.sampled_from([LANDING, BOOSTED]))
    events = events_of(scenario)
    for _ in range(data.draw(st.integers(1, 3))):
        i = data.draw(st.integers(0, len(events) - 2))
        match data.draw(st.sampled_from(["drop", "swap", "repeat"])):
            case "drop":
                del events[i]
            case "swap":
                events[i : i + 2] = events[i + 1], events[i]
            case "repeat":
                events.insert(i, events[i])
    try:
        plan = mplan.fly(scenario.change("events", events))
    except mplan.ScenarioError:
        return  # one message: what is asked for has no trajectory
    _checked(plan)


@pytest.mark.parametrize("scenario", [LANDING, BOOSTED], ids=["reference", "boosted"])
def test_dependent_events_in_each_other_s_place_never_close(scenario):
    """Of two neighbours where the second needs the first, the swap is a fault."""
    events = events_of(scenario)
    tried = 0
    for i in range(len(events) - 1):
        if (events[i]["do"], events[i + 1]["do"]) in DEPENDENT:
            swap = [*events[:i], events[i + 1], events[i], *events[i + 2 :]]
            assert faults(scenario.change("events", swap)), events[i]
            tried += 1
    assert tried >= 4


def test_a_main_engine_that_no_burn_names():
    """A second main engine that nothing lights is told; settling engines and thrusters are not."""
    engines = LANDING.elements["ascent_stage"].engines
    key = "elements.ascent_stage.engines"
    named = {
        f"events.{i}.engine": x.engine or next(k for k, e in engines.items() if e.purpose == "main")
        for i, x in enumerate(LANDING.events)
        if x.do == "burn" and x.element == "ascent_stage"
    }
    spare = {
        "count": 1,
        "thrust_vacuum": "16 kN",
        "isp_vacuum": "311 s",
        "starts": 1,
        "qualified_duration": "600 s",
        "length": "1 m",
        "fuel": next(x.fuel for x in engines.values() if x.purpose == "thrusters"),
    }
    found = faults(LANDING.change({f"{key}.spare": spare, **named}))
    assert [x.text for x in found] == ["the main engine spare of ascent_stage is never lit"]


@pytest.mark.parametrize(
    ("edit", "change"),
    [
        (without(**FIRST), 'before events.2: do = "jettison", elements = ["first_stage"]'),
        (without(do="stay"), 'before events.24: do = "stay"'),
        (without(leg="parking orbit"), 'before events.7: do = "coast", leg = "parking orbit"'),
        (
            without(do="undock"),
            'before events.19: do = "undock", elements = ["descent_stage", "ascent_stage"], '
            'duration = "30 min"',
        ),
        (
            without(**BAY),
            'before events.13: do = "jettison", elements = ["transfer_stage"]; do = "jettison", '
            'elements = ["lander_bay"]',
        ),
    ],
)
def test_what_is_missing_is_put_in_and_flown(edit, change):
    """The event that mends the order is a remedy, flown like any other."""
    events = events_of(LANDING)
    edit(events)
    plan = mplan.fly(LANDING.change("events", events), remedies=True)
    (remedy,) = plan.findings[0].remedies
    assert remedy.change == change
