"""The settings that a page holds: each tells the numbers of its flight, and nothing else."""

from __future__ import annotations

import json
import re

import pytest

import mplan
from mplan.report import what_if
from mplan.report.what_if import beside, combinations, document
from mplan.studies.what_if import changed
from tests.conftest import MISSIONS

MOST = 24


@pytest.fixture(scope="module", params=["reference_landing", "round_the_moon"])
def plan(request):
    return mplan.fly(mplan.load(MISSIONS / f"{request.param}.toml"))


@pytest.fixture(scope="module")
def told(plan):
    done = []
    found = what_if.fly(plan, most=MOST, progress=lambda *now: done.append(now))
    assert done[-1][:2] == (len(found["flights"]) - 1,) * 2
    return found


def test_numbers_are_those_of_the_flights(plan, told):
    """Every fourth setting, flown again with `mplan.fly`: verdict, margins, figures, findings."""
    settings = combinations.chosen(plan, MOST)
    for key in settings.flown[::4]:
        flight = told["flights"][" ".join(map(str, key))]
        scenario = plan.scenario.change(dict(settings.changes(key)))
        if flight["tone"] == "none":
            with pytest.raises(mplan.ScenarioError, match=re.escape(flight["verdict"])):
                mplan.fly(scenario, like=plan)
            continue
        flown = mplan.fly(scenario, like=plan)
        said = f"{flight['closes'].lower()}: {flight['verdict']}"
        assert flown.verdict.lower().endswith(said.lower())
        required = [burn["parts"][0] for burn in flight["burns"] if burn["parts"]]
        assert required == pytest.approx(
            [min(x.required, x.available) for x in flown.every_burn], abs=0.06
        )
        if "figure|tightest margin" in flight["rows"]:
            assert (
                flight["rows"]["figure|tightest margin"][0] == f"{flown.tightest.margin:,.1f} m/s"
            )


def test_the_plan_differs_from_itself_in_nothing(told):
    """At home no row has a difference and no finding is gained or lost."""
    home = told["flights"][told["home"]]
    assert {difference for _, difference in home["rows"].values()} == {""}
    assert home["findings"] == []
    assert not any(burn["unlike"] for burn in home["burns"])


def test_rows_that_never_move_are_left_out(told):
    """Each row has another value in one flight at least; some rows are there."""
    for name in told["rows"]:
        values = {x["rows"].get(name, ("-",))[0] for x in told["flights"].values() if "rows" in x}
        assert len(values) > 1, name
    assert any(name.startswith("figure|") for name in told["rows"])
    assert any(name.startswith("date|") for name in told["rows"])


def test_the_data_opens_no_tag(told):
    """What stands in the page is JSON without a less-than sign, and small."""
    text = document.text({**told, "hostile": "</script><b>"})
    assert "<" not in text
    assert json.loads(text)["hostile"] == "</script><b>"
    assert len(text) < 1_000_000


def test_a_refused_setting_says_why(landing_plan):
    """A setting that cannot be flown is told as such, with the reason and no numbers."""
    flown = changed(landing_plan, {"dates.translunar_time": "1 h"})
    told = beside.refused(flown)
    assert told["tone"] == "none"
    assert told["verdict"].startswith("dates.translunar_time: ")
    assert "rows" not in told
