"""The studies of workbook 09 on small missions: what is shown, what is refused."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

import mplan
from mplan.scenario import ScenarioError
from mplan.scenario.arguments import ArgumentError
from mplan.show import to_change
from mplan.show.drawn.figure import Picture
from mplan.show.panels import in_cell
from mplan.show.to_change import chosen
from mplan.studies import odds, trades
from mplan.studies.sensitivities import differences
from mplan.studies.sensitivities.differences import Sensitivities
from tests.conftest import MISSIONS


@pytest.fixture(scope="module")
def flyby():
    return mplan.fly(mplan.load(MISSIONS / "single_flyby.toml"))


@pytest.fixture
def shown(monkeypatch):
    """Return a function that shows a study as without a page, and what stands in its cell then."""
    kept = []
    monkeypatch.setattr(in_cell, "display", lambda *things: kept.extend(things))

    def show(study):
        kept.clear()
        study._ipython_display_()
        return kept

    return show


def test_nothing_to_remedy(flyby):
    """Without a stop or a decision a sentence says so; a decision is worked on."""
    assert "nothing to remedy" in repr(to_change.remedies(replace(flyby, findings=())))
    assert flyby.decisions_open
    assert repr(to_change.remedies(flyby)).startswith("Fly remedies")


def test_trades_of_the_planners_own_keys(flyby, shown):
    picture, table = shown(
        to_change.traded(flyby, {"orbits.parking_altitude": ["190 km", "210 km"]})
    )
    assert isinstance(picture, Picture)
    assert "2 cases: 2 close" in picture.summary
    assert list(table.frame["orbits.parking_altitude [km]"]) == [190.0, 210.0]


def test_a_key_that_is_not_there(flyby):
    """Refused when the cell is run, before anything is flown."""
    with pytest.raises(ScenarioError, match="lunar_altitudes"):
        to_change.traded(flyby, {"orbits.lunar_altitudes": ["100 km"]})


def test_what_is_traded_where_nothing_is_named(flyby, reference_landing):
    """Two keys that the mission has, each as it is and to either side."""
    for scenario in (flyby.scenario, reference_landing):
        found = chosen.traded(scenario)
        assert len(found) == 2
        assert all(len(values) >= 2 for values in found.values())


def test_a_key_beyond_its_slider_is_not_traded(reference_landing):
    """A low lunar orbit has no sides to trade: the next key takes its place."""
    low = reference_landing.change("orbits.lunar_altitude", "20 km")
    assert "orbits.lunar_altitude" in chosen.traded(reference_landing)
    found = chosen.traded(low)
    assert "orbits.lunar_altitude" not in found
    assert len(found) == 2


def test_a_burn_without_a_margin(flyby):
    with pytest.raises(ArgumentError, match='burn: found "landing"; accepted: "'):
        to_change.sensitivities(flyby, "landing")


def test_nothing_was_felt_until_then(flyby):
    """Stopped early there may be no bar: a sentence stands in place of an empty picture."""
    margins = differences.margins(flyby.flight)
    none = Sensitivities(flyby.scenario.mission.name, margins, (), next(iter(margins)), (), True)
    picture, words, told = to_change.sensitivities(flyby).shown(none)
    assert not isinstance(picture, Picture)
    assert "nothing that was varied until then is felt in it" in repr(picture) == told
    assert repr(words) == ""


def test_no_ratio_was_flown_until_then(flyby):
    """It says so, and not that none can arise."""
    picture, _, _ = to_change.exchange(flyby).shown([])
    assert "until then" in repr(picture)


def test_what_is_freed_where_nothing_is_named(reference_landing, landing_plan):
    """Loads of elements that the mission builds, in a range round what they hold."""
    found = chosen.freed(landing_plan)
    assert 1 <= len(found) <= 2
    for key, low, high in (re.fullmatch(r"(\S+)=(\d+) kg\.\.(\d+) kg", x).groups() for x in found):
        element = reference_landing.elements[key.split(".")[1]]
        assert float(low) < sum(tank.load for tank in element.tanks.values())
        assert float(low) < float(high)


def test_the_least_that_was_found(flyby, shown):
    """A few flights: the picture, what holds each key, and how it was searched."""
    free = [chosen.freed(flyby)[0]]
    picture, words = shown(to_change.sized(flyby, free, flights=12))
    assert isinstance(picture, Picture)
    assert "Searched: " in words.text
    assert free[0].split("=")[0] in words.text


def test_what_cannot_be_freed(flyby):
    """Refused when the cell is run, before anything is flown."""
    with pytest.raises(ScenarioError, match="no_such"):
        to_change.sized(flyby, ["elements.no_such.load=1 t..2 t"])
    with pytest.raises(ScenarioError, match="least"):
        to_change.sized(flyby, chosen.freed(flyby), "beauty")


def test_nothing_to_free(flyby, monkeypatch):
    monkeypatch.setattr(chosen, "freed", lambda plan: [])
    assert "name in FREE" in repr(to_change.sized(flyby))


def test_no_dispersions(flyby):
    assert "states no [dispersions]" in repr(to_change.chances(flyby, 100))


@pytest.fixture(scope="module")
def drawn(flyby):
    """The same, with dry masses that scatter."""
    return mplan.fly(flyby.scenario.change("dispersions", {"dry_mass": "0.5 %"}))


def test_a_few_missions_are_drawn(drawn, shown):
    """Each flown: the picture with intervals, the tables, and what is not drawn."""
    picture, words = shown(to_change.chances(drawn, 4))
    assert isinstance(picture, Picture)
    assert "4 missions" in picture.summary
    assert "Clopper" in words.text
    assert picture.png()


def test_no_mission_and_no_case_was_flown_until_then(drawn):
    """Stopped at once: a sentence stands in place of an empty picture."""
    no_case = trades.of(
        trades.study_of(drawn.scenario, {"orbits.parking_altitude": ["190 km", "210 km"]}),
        stopped=lambda: True,
    )
    no_mission = replace(odds.of(drawn, 1, workers=1), flown=0)
    for study, found in (
        (to_change.chances(drawn, 4), no_mission),
        (to_change.traded(drawn), no_case),
    ):
        picture, words, told = study.shown(found)
        assert "was flown until then" in repr(picture) == told
        assert repr(words) == ""


@pytest.mark.parametrize(
    ("missions", "found"),
    [
        (0, "0"),
        (-3, "-3"),
        (10**9, "1,000,000,000"),
        (2.5, "2.5"),
        ("100", '"100"'),
        (True, "true"),
    ],
)
def test_a_count_of_missions_that_is_none(drawn, missions, found):
    """Refused when the cell is run, with the count."""
    with pytest.raises(
        ArgumentError, match=f"missions: found {found}; accepted: from 1 to 200,000"
    ):
        to_change.chances(drawn, missions)


@pytest.mark.parametrize(
    ("cell", "text"),
    [
        (lambda plan: to_change.sized(plan, "elements.a.load=1 t..2 t"), 'free: found "elements'),
        (lambda plan: to_change.sized(plan, [5]), "free: found 5; accepted: a list of keys with"),
        (lambda plan: to_change.sized(plan, None), "free: found null"),
        (
            lambda plan: to_change.sized(plan, flights=0),
            "flights: found 0; accepted: a whole number",
        ),
        (lambda plan: to_change.sized(plan, flights="9"), 'flights: found "9"; accepted'),
        (
            lambda plan: to_change.traded(plan, 5),
            "trade: found 5; accepted: lists of values by key",
        ),
        (
            lambda plan: to_change.traded(plan, {"a.b": "72 h"}),
            'trade: found "72 h" for a.b; accepted',
        ),
        (lambda plan: to_change.traded(plan, {5: ["72 h"]}), "trade: found 5; accepted"),
    ],
)
def test_parameters_of_another_kind(flyby, cell, text):
    """One message when the cell is run: what was found, what is accepted; nothing is flown."""
    with pytest.raises(ArgumentError, match=text):
        cell(flyby)
