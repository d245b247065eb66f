"""What a mission has not is said in words: no way home, no crew, no ship in lunar orbit."""

from __future__ import annotations

import io
import json
from importlib.resources import files
from pathlib import Path

import jsonschema
import pytest

import mplan
from mplan import oem
from mplan.contingencies import coverage
from mplan.contract import as_json
from mplan.show import air, climb, homeward, moon
from mplan.show.drawn.figure import Picture
from mplan.show.notebook import Table
from mplan.show.reached import NO_ASCENT, NO_SHIP, NOBODY, STAYS
from mplan.show.terminal import print_brief

SCENARIOS = Path(__file__).parent.parent.parent / "scenarios"
NAMES = ("whole_ship_down", "cargo_down", "lander_ahead")


@pytest.fixture(scope="module")
def plans():
    return {name: mplan.fly(mplan.load(SCENARIOS / f"{name}.toml")) for name in NAMES}


@pytest.mark.parametrize("name", NAMES)
def test_document_and_arcs(plans, name):
    """The document obeys its schema; there is an arc there, and one home for a crew."""
    schema = json.loads(files("mplan").joinpath("plan.schema.json").read_text("utf-8"))
    jsonschema.validate(json.loads(as_json(plans[name])), schema)
    assert len(list(oem.segments(plans[name]))) == (2 if plans[name].flight.splash else 1)


@pytest.mark.parametrize("name", NAMES)
def test_brief(plans, name):
    text = io.StringIO()
    print_brief(plans[name], text)
    said = " ".join(text.getvalue().split())
    assert plans[name].verdict in said
    home = plans[name].flight.splash is not None
    assert ("splash 20" in said, "lift-off to splashdown" in said) == (home, home)


@pytest.mark.parametrize("name", ["cargo_down", "lander_ahead"])
def test_nothing_comes_home(plans, name):
    plan = plans[name]
    shown = (
        homeward.figures,
        homeward.costs,
        homeward.choices,
        homeward.splashes,
        homeward.splash_latitudes,
        homeward.corrections,
        air.figures,
        air.corridor,
        air.parachutes,
    )
    assert {show(plan).text for show in shown} == {STAYS}
    assert homeward.panel(plan.scenario).text == STAYS
    assert air.panel(plan.scenario).text == STAYS


def test_nobody_aborts(plans):
    plan = plans["cargo_down"]
    found = coverage.of_climb(plan.flight)
    assert found.spans == ()
    assert climb.coverage(found, plan).text == NOBODY
    assert moon.aborts(plan).text == NOBODY
    assert moon.abort_table(plan).text == NOBODY
    assert isinstance(moon.descent(plan), Picture)


def test_nothing_lifts_off_from_cargo(plans):
    plan = plans["cargo_down"]
    assert {x(plan).text for x in (moon.ascent, moon.ascent_attitude)} == {NO_ASCENT}
    assert moon.ascent_table(plan).text == NO_ASCENT


def test_no_ship_waits_for_a_direct_flight(plans):
    """Its ascent and its aborts are shown; passes of a ship are not, as there is none."""
    plan = plans["whole_ship_down"]
    shown = (moon.sky, moon.lift_offs, moon.passes, moon.ship)
    assert {show(plan).text for show in shown} == {NO_SHIP}
    assert isinstance(moon.ascent(plan), Picture)
    assert isinstance(moon.abort_table(plan), Table)
