"""The table [dispersions]: what scatters, and what is refused with the key and the reason."""

from __future__ import annotations

import pytest

import mplan
from mplan.scenario import ScenarioError
from mplan.scenario.dispersions import scattered
from mplan.scenario.dispersions.spread import CUT, Spread
from tests.conftest import DEMO

BARE = {"dry_mass": "1 %"}


def things(scenario: mplan.Scenario) -> dict[str, scattered.Scattered]:
    return {each.title: each for each in scattered.of_elements(scenario)}


def test_a_share_and_an_amount(reference_landing):
    """A text is a standard deviation, ended at four of them; an element's own comes first."""
    own = {"crew_module": {"dry_mass": "40 kg"}}
    found = things(reference_landing.change("dispersions", {**BARE, "elements": own}))
    assert found["dry mass of service module"].spread == Spread(-0.01 * CUT, 0.01 * CUT, 0.01, True)
    assert found["dry mass of crew module"].spread == Spread(-160.0, 160.0, 40.0, False)
    planned = reference_landing.elements["crew_module"].dry_mass
    assert found["dry mass of crew module"].planned == planned


def test_bounds(reference_landing):
    found = things(
        reference_landing.change("dispersions", {"isp": {"least": "-2 s", "most": "1 s"}})
    )
    assert {each.spread for each in found.values()} == {Spread(-2.0, 1.0, None, False)}


def test_nothing_scatters_silently(reference_landing):
    """Without the table nothing scatters, nor what it leaves out, nor what it says does not."""
    assert not things(reference_landing)
    assert not things(reference_landing.change("dispersions", {}))
    assert not things(reference_landing.change("dispersions", {"isp": "0 s"}))


@pytest.mark.parametrize(
    ("stated", "key", "said"),
    [
        ({"dry_mass": "-1 %"}, "dry_mass", r'found "-1 %", negative; accepted: a standard dev'),
        ({"dry_mass": "30 %"}, "dry_mass", "reaches zero or less at 4 standard deviations"),
        ({"dry_mass": "9 t"}, "dry_mass", "reaches zero or less .* of the dry mass of "),
        ({"dry_mass": 3}, "dry_mass", "a bare number"),
        ({"dry_mass": "3 s"}, "dry_mass", "of another dimension"),
        ({"isp": {"least": "3 s", "most": "1 s"}}, "isp", "whose least is not below its most"),
        ({"isp": {"lest": "3 s", "most": "1 s"}}, "isp", "a table of lest, most"),
        ({"isp": {"least": "-3 s", "most": "1 %"}}, "isp", "one bound is a share and the other"),
        ({"isp": {"least": "-120 %", "most": "1 %"}}, "isp", "which reaches zero or less;"),
        ({"wind": "3 %"}, "wind", "of another dimension; accepted: .* a speed"),
        ({"stay_time": "20 d"}, "stay_time", "of the duration of stay at the Moon"),
        ({"dry_mas": "1 %"}, "dry_mas", 'did you mean "dry_mass"'),
    ],
)
def test_refused(reference_landing, stated, key, said):
    with pytest.raises(ScenarioError, match=rf"dispersions\.{key}: .*{said}"):
        reference_landing.change("dispersions", stated)


@pytest.mark.parametrize(
    ("own", "said"),
    [
        ({"crew_modul": BARE}, 'unknown element "crew_modul"; did you mean "crew_module"'),
        ({"crew_module": {"tanks": {"x": {"load": "1 %"}}}}, 'unknown tank "x"'),
        ({"crew_module": {"engines": {"x": {"isp": "1 %"}}}}, 'unknown engine "x"'),
    ],
)
def test_unknown_names(reference_landing, own, said):
    with pytest.raises(ScenarioError, match=said):
        reference_landing.change("dispersions", {"elements": own})


def test_other_tables_in_place_are_those_of_all_ships():
    """What is put in place of tables is there for every ship, whose views see it as their own."""
    scenario = mplan.load(DEMO.parent / "two_launches.toml")
    heavier = {
        name: x.model_copy(update={"dry_mass": x.dry_mass + 1.0})
        for name, x in scenario.elements.items()
    }
    made = scenario.with_tables(lambda of: {"elements": {x: heavier[x] for x in of.elements}})
    for name, view in made.views.items():
        for element, body in view.elements.items():
            assert body.dry_mass == scenario.views[name].elements[element].dry_mass + 1.0
        assert view.main is made
    assert scenario.views["lander"].main is scenario
