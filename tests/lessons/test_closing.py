"""Lesson 3: what a learner may change, what is said of it, and what the hints never say."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import mplan
from mplan import workbooks
from mplan.lessons import closing
from mplan.lessons.closing import hints as hinting
from mplan.lessons.closing.task import freed_of
from mplan.lessons.stacking.formulas import isp_of

BOOK = next(x for x in workbooks.lessons(workbooks.folder()) if x.name.startswith("3_"))
VALUES: dict = {}
exec(next(x for x in workbooks.read(BOOK).cells if x.id == "parameters").source, VALUES)
FREE = VALUES["FREE"]
LOAD, PAYLOAD, ALTITUDE, STAY = (each.partition("=")[0] for each in FREE)
MENDED = {LOAD: "58.7 t", PAYLOAD: "650 kg", ALTITUDE: "100 km"}


@pytest.fixture(scope="module")
def scenario():
    return mplan.load(BOOK.parent / VALUES["SCENARIO"])


@pytest.fixture(scope="module")
def plan(scenario):
    return mplan.fly(scenario)


def test_it_is_broken_in_more_than_one_place(plan):
    """Two stages are short, and neither is the other's doing."""
    short = [burn.element for burn in plan.burns if burn.margin < 0 and not burn.burns_out]
    assert len(set(short)) == 2
    assert not plan.closes


def test_it_can_be_mended_in_more_than_one_way(scenario):
    """Two plans that differ in every key that both change."""
    other = {LOAD: "57.6 t", PAYLOAD: "640 kg", ALTITUDE: "112 km"}
    for values in (MENDED, other):
        said = closing.attempt(scenario, FREE, values)
        assert "Closed, within every limit" in said.text, said.text
        assert "Hints" not in said.text


def test_no_single_key_mends_it(scenario):
    """Whichever of them is changed alone, to its best end, something still stops the mission."""
    for key, best in ((LOAD, "58.7 t"), (PAYLOAD, "640 kg"), (ALTITUDE, "100 km"), (STAY, "36 h")):
        assert "does not close" in closing.attempt(scenario, FREE, {key: best}, 0).text


@pytest.mark.parametrize(
    ("values", "limit"),
    [
        ({LOAD: "61 t"}, "too heavy for the launch platform"),
        ({**MENDED, LOAD: "60.5 t"}, "upper-stage climb"),
        ({**MENDED, ALTITUDE: "190 km"}, "thrusters"),
        ({**MENDED, PAYLOAD: "900 kg"}, "powered descent"),
        ({**MENDED, STAY: "48 h"}, "electric energy"),
    ],
)
def test_each_limit_holds(scenario, values, limit):
    """Every key, moved too far, stops the mission by a limit of its own, which is named."""
    assert limit in closing.attempt(scenario, FREE, values, 2).text


def test_levels_say_more_and_more(scenario):
    """Where; what and which way; by how much. No level names a value that a key should take."""
    none, first, second, third = (
        closing.attempt(scenario, FREE, {}, level).text for level in range(4)
    )
    assert "Hints" not in none
    assert "It stops at: translunar injection (delta-v)." in first
    assert "lacks" not in first.partition("Hints")[2]
    assert f"{LOAD}, a step more: translunar injection (delta-v): nearer to its limit." in second
    assert re.search(rf"{re.escape(LOAD)}, 1.25 t more: .* \d+ m/s off, not 93", third)
    for text in (first, second, third):
        assert not any(value in text for value in MENDED.values())


def test_directions_are_those_of_the_flight(plan, scenario):
    """What a hint calls nearer is nearer, when it is flown from the file."""
    text = hinting.hints(plan, freed_of(scenario, FREE), 2).text
    line = next(x for x in text.splitlines() if x.startswith(PAYLOAD))
    heavier = mplan.fly(scenario.change(PAYLOAD, "890 kg"))
    lacks = [next(b for b in x.burns if b.leg == "powered descent").margin for x in (plan, heavier)]
    assert lacks[1] < lacks[0]
    assert "powered descent (delta-v): further from its limit" in line


def test_a_step_is_nearer_where_only_the_reserve_is_left_to_find(scenario):
    """From short of what is required to short of the reserve alone: nearer, not further."""
    text = closing.attempt(scenario, FREE, {LOAD: "56.5 t"}, 3).text
    assert "propellant first" in text, "it lacks what it requires"
    line = next(x for x in text.splitlines() if x.startswith(LOAD))
    off, before = re.search(r"limit, (\d+) m/s off, not (\d+)", line).groups()
    assert "nearer to its limit" in line
    assert int(off) < 32 < int(before), "within the reserve after it"


@pytest.mark.parametrize(
    ("values", "said"),
    [
        ({"mission.crew": 3}, "mission.crew: is not free; accepted: "),
        ({PAYLOAD: "500 kg"}, 'found "500 kg"; accepted: 640 kg to 900 kg'),
        ({PAYLOAD: 700}, "found 700, not a quantity with its unit; accepted: 640 kg to 900 kg"),
        ({PAYLOAD: "700 km"}, 'found "700 km", of another dimension; accepted: 640 kg to 900 kg'),
    ],
)
def test_a_broken_rule_is_named_and_nothing_flown(scenario, values, said):
    text = closing.attempt(scenario, FREE, values).text
    assert text.startswith("Not flown:")
    assert said in text


def test_a_file_of_the_learner_is_flown(scenario, tmp_path):
    """One that the panel saved closes; one in which something else was changed is refused."""
    panel = closing.panel(scenario, FREE)
    for key, value in MENDED.items():
        panel.controls[key].value = float(value.split()[0])
    panel._rest.end()
    good = tmp_path / "mine.toml"
    panel.scenario.save(good)
    assert "Closed, within every limit" in closing.attempt(scenario, FREE, str(good)).text
    lighter = tmp_path / "lighter.toml"
    element = LOAD.split(".")[1]
    panel.scenario.change(f"elements.{element}.dry_mass", "4 t").save(lighter)
    said = closing.attempt(scenario, FREE, lighter).text
    assert f"elements.{element}.dry_mass: is not free" in said
    assert "Not flown" in closing.attempt(scenario, FREE, str(Path("nowhere.toml"))).text


def test_what_a_hand_finds_mends_the_burn(plan, scenario):
    """The propellant of the question, loaded: the burn has its margin, but for heavier tanks."""
    burn = next(x for x in plan.burns if x.margin < 0 and not x.burns_out)
    speed = isp_of(burn, plan) * 9.80665
    more = burn.mass * (2.718281828459045 ** (-burn.margin / speed) - 1)
    assert closing.check_more(more, plan).right
    loaded = closing.attempt(scenario, FREE, {LOAD: f"{55.4 + more / 1e3:.3f} t"}, 2).text
    left = re.search(r"translunar injection lacks (\d+) m/s of margin", loaded)
    # Of 93 m/s: tanks for 2.5 t weigh some 0.2 t, and a longer burn loses a little more.
    assert left is None or int(left[1]) < 15


def test_slips_by_hand(plan):
    burn = next(x for x in plan.burns if x.margin < 0 and not x.burns_out)
    speed = isp_of(burn, plan) * 9.80665
    bare = burn.mass * (2.718281828459045 ** ((burn.required - burn.available) / speed) - 1)
    assert "the reserve is left out" in closing.check_more(bare, plan).text
