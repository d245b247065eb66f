"""The demo missions: which close, why one does not, and what they say of themselves."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import mplan
from mplan.physics.propellants import PROPELLANTS
from mplan.scenario import catalogue
from mplan.studies import shorten

SCENARIOS = Path(__file__).parent.parent / "scenarios"
TOXIC = ("hydrazine", "MMH", "NTO", "UDMH")


def flown(name: str, *, remedies: bool = False) -> mplan.Plan:
    return mplan.fly(mplan.load(SCENARIOS / f"{name}.toml"), remedies=remedies)


@pytest.mark.parametrize("name", ["first_landing", "orbit_and_return", "round_the_moon"])
def test_closes_and_leaves_nothing_to_decide(name):
    plan = flown(name)
    assert plan.closes
    assert {x.severity for x in plan.findings} == {"for information"}


def test_margins_of_the_landing_are_thin():
    """Every burn of the demo has what it needs; no margin is so large that nothing is at stake."""
    margins = [x.margin for x in flown("first_landing").burns if not x.burns_out]
    assert 0.0 < min(margins) < 60.0


def test_one_more_day_lacks_canisters_alone():
    """Carbon dioxide stops it, and the change that is shown makes it close when it is made."""
    plan = flown("one_more_day", remedies=True)
    (stop,) = [x for x in plan.findings if x.severity == "stops the flight"]
    assert "of carbon dioxide in the air" in stop.text
    assert "4 LiOH canisters in the ascent stage" in stop.remedies[0].change
    count = "elements.ascent_stage.supplies.lioh_canisters.count"
    by_hand = mplan.fly(plan.scenario.change(count, 4))
    assert by_hand.closes
    heavier = by_hand.burns[-4].mass - plan.burns[-4].mass
    assert heavier == pytest.approx(2.5, abs=0.1)


def test_the_longer_stay_costs_the_ascent_its_margin():
    """Supplies for a day more are carried up, and the site turns out of the ship's plane."""
    short, long = (
        next(x for x in flown(name).burns if x.leg == "lunar ascent")
        for name in ("first_landing", "one_more_day")
    )
    assert 0.0 < long.margin < short.margin


def test_a_metre_less_is_flown_for_every_stage():
    """Shorter boosters and stages are results: the climb falls short, the plan says so."""
    found = shorten.each(flown("first_landing"))
    assert [x.element for x in found if x.plan is None] == []
    assert {"core_stage", "upper_stage", "departure_stage"} <= {x.element for x in found}
    assert not any(x.plan.closes for x in found if x.element == "departure_stage")


def test_boosters_are_told_by_the_profile():
    """A mission without events lights the boosters with the core and drops them with it."""
    events = mplan.load(SCENARIOS / "orbit_and_return.toml").events
    climb, drop = events[1], events[2]
    assert (climb.element, climb.beside) == ("core_stage", ("booster_pair",))
    assert drop.elements == ("booster_pair", "core_stage")


@pytest.mark.parametrize("file", sorted(SCENARIOS.rglob("*.toml")), ids=lambda x: x.stem)
def test_hazards_stand_at_the_head(file):
    """A mission says what it is; files of dangerous propellants say that they are dangerous."""
    head, _, body = file.read_text("utf-8").partition("\n\n")
    if file.parent == SCENARIOS:
        assert "A planning study, not flight approval." in head
        return
    held = set(re.findall(r'"([^"]+)"', body)) & set(PROPELLANTS)
    if held:
        assert "licensed practice and local codes" in head
    if held & set(TOXIC):
        assert "toxic" in head
    if any(PROPELLANTS[each].cryogenic for each in held):
        assert "cryogenic" in head


def test_the_catalogue_is_plausible():
    """Thrust at both levels comes from one mass flow; mass and nozzle fit the thrust."""
    entries = catalogue.read(SCENARIOS / "engines")
    assert len(entries) >= 16
    for entry in entries:
        engine = entry.engine
        assert 10.0 < engine.thrust_vacuum / (engine.mass * 9.80665) < 135.0
        if engine.thrust_sea_level is not None:
            ratio = engine.isp_sea_level / engine.isp_vacuum
            assert engine.thrust_sea_level / engine.thrust_vacuum == pytest.approx(ratio, rel=1e-3)
            lost = engine.thrust_vacuum - engine.thrust_sea_level
            area = 3.14159 / 4.0 * engine.exit_diameter**2
            assert lost == pytest.approx(101325.0 * area, rel=0.15)  # the exit lip takes room
