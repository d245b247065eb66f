"""What is wrong with a programme file is told once, with file, line, key, found and accepted."""

import re

import pytest

from mplan.programme import load_programme
from mplan.programme.schema import FILE, text
from mplan.scenario import ScenarioError
from tests.programme.conftest import SMALL

WRONG = {
    "a pad that is not there": (
        [('pad = "north"', 'pad = "nort"')],
        r"test_flights\.trial\.pad: no pad is called \"nort\"; did you mean \"north\"\?$",
    ),
    "a crew that is not there": (
        [('crew = "amber"', 'crew = "amper"')],
        r"missions\.first\.crew: no crew is called \"amper\"; did you mean \"amber\"\?$",
    ),
    "a mission that is not there": (
        [('after = ["trial"]', 'after = ["triad"]')],
        r"missions\.first\.after\.0: no mission is called \"triad\"; did you mean \"trial\"\?$",
    ),
    "an element that is not there": (
        [('elements = ["stage"]\nafter', 'elements = ["stages"]\nafter')],
        r"missions\.first\.elements\.0: no element is called \"stages\"; did you mean \"stage\"\?$",
    ),
    "an engine that is not there": (
        [("{lamp = 2}", "{lump = 2}")],
        r"elements\.stage\.engines\.lump: no engine is called \"lump\"; did you mean \"lamp\"\?$",
    ),
    "a cycle": (
        [
            ('duration = "4 d"', 'duration = "4 d"\nafter = ["second"]'),
            ("\n[rehearsals.drill]", 'after = ["first"]\n[rehearsals.drill]'),
        ],
        r"test_flights\.trial\.after: comes after itself: trial after second after first after "
        r"trial; accepted: no cycle$",
    ),
    "negative money": (
        [('cost = "30 M"', 'cost = "-30 M"')],
        r"elements\.stage\.cost: found \"-30 M\", below zero; accepted: an amount in thousands .*"
        r"zero or more, like \"120 M\"$",
    ),
    "bare money": (
        [('cost = "30 M"', "cost = 30")],
        r"elements\.stage\.cost: found 30, without k, M or bn; accepted: an amount",
    ),
    "a rate without its time": (
        [('rate = "4 /year"', 'rate = "4"')],
        r"elements\.stage\.rate: found \"4\", a bare number; accepted: a rate with its unit",
    ),
    "a past launch not flown": (
        [('after = ["trial"]', "launch = 2030-05-01")],
        r"missions\.first\.launch: found 2030-05-01, before today, 2031-01-01, and not flown; "
        r"accepted: a later day, or flown = true$",
    ),
    "a flight of the future": (
        [('after = ["trial"]', "launch = 2032-05-01\nflown = true")],
        r"missions\.first\.launch: found 2032-05-01, after today",
    ),
    "flown before it is built": (
        [('after = ["trial"]', "launch = 2031-05-01\nhardware_ready = 2031-06-01")],
        r"missions\.first\.launch: found 2031-05-01, before its hardware is ready, 2031-06-01$",
    ),
    "a deadline before the earliest day": (
        [('after = ["trial"]', "launch_not_before = 2032-01-01\nlaunch_not_after = 2031-12-01")],
        r"missions\.first\.launch_not_after: found 2031-12-01; accepted: no earlier than "
        r"launch_not_before, 2032-01-01$",
    ),
    "a window that closes first": (
        [('after = ["trial"]', "windows = [{opens = 2032-01-05, closes = 2032-01-01}]")],
        r"missions\.first\.windows\.0\.closes: found 2032-01-01; accepted: no earlier than it ",
    ),
    "an existing engine to be qualified": (
        [('status = "in development"', 'status = "existing"')],
        r"engines\.lamp\.qualification: an engine that is \"existing\" has no qualification ahead",
    ),
    "an unknown key": (
        [("turnaround", "turn_around")],
        r"pads\.north\.turn_around: unknown key; did you mean \"turnaround\", which is missing\?$",
    ),
    "a budget of no year": (
        [("[pads.north]", '[budget]\nnext = "1 bn"\n\n[pads.north]')],
        r"budget\.next: found \"next\"; accepted: a year up to 2053, like 2031$",
    ),
    "a scenario that is not there": (
        [("orbit_and_return.toml", "orbit.toml")],
        r"missions\.first\.scenario: found \"orbit\.toml\", no such file$",
    ),
}


@pytest.mark.parametrize("name", WRONG)
def test_one_message(written, name):
    pairs, told = WRONG[name]
    with pytest.raises(ScenarioError) as raised:
        load_programme(written(SMALL, *pairs))
    lines = str(raised.value).splitlines()
    assert len(lines) == 1, lines
    assert re.search(rf"programme\.toml:\d+: {told}", lines[0]), lines[0]


def test_a_scenario_keeps_its_own_message(written, tmp_path):
    (tmp_path / "broken.toml").write_text('format = "mplan-scenario/2"\nstack = [\n')
    with pytest.raises(ScenarioError, match=r"broken\.toml:\d+: not valid TOML"):
        load_programme(written(SMALL, ("orbit_and_return.toml", "broken.toml")))


def test_a_change_is_a_new_programme(written):
    before = load_programme(written())
    after = before.change("elements.stage.rate", "8 /year")
    assert after.elements["stage"].rate == pytest.approx(2 * before.elements["stage"].rate)
    assert after.scenarios["first"] is before.scenarios["first"]  # nothing is read anew
    with pytest.raises(ScenarioError, match=r"^changed value: elements\.stage\.rate: found"):
        before.change("elements.stage.rate", "fast")


def test_the_schema_is_current():
    assert FILE.read_text("utf-8") == text()
