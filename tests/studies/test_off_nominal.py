"""Parts of a climb flown again from a stage's ignition."""

from __future__ import annotations

import numpy as np
import pytest

import mplan
from mplan.studies import off_nominal
from tests.conftest import MISSIONS


def test_from_a_stage_on(landing_plan):
    """As planned it ends as the whole climb did; weaker or an engine less, it has less left."""
    planned = landing_plan.flight.end.climb
    same, weak, without = off_nominal.upper_stage_cases(landing_plan, 1)
    assert same.name == "from second stage on, as planned"
    assert same.left == pytest.approx(planned.left, abs=5.0)  # kg, aimed anew from there
    lit = next(x for x in planned.track.events if x.what == "ignition" and x.name == "second_stage")
    assert same.flown.track.t[0] == lit.t
    assert np.allclose(same.flown.track.r[0], lit.state[:3])
    assert weak.left < same.left
    assert without.left < same.left


def test_a_single_engine_has_none_to_lose(landing_plan):
    """The last stage has one engine: no case without it."""
    names = [x.name for x in off_nominal.upper_stage_cases(landing_plan, 2)]
    assert len(names) == 2
    assert not any("engine out" in name for name in names)


def test_no_such_stage(landing_plan):
    """A climb of three stages has no fourth."""
    with pytest.raises(IndexError, match="tuple index"):
        off_nominal.upper_stage_cases(landing_plan, 3)


@pytest.fixture(scope="module")
def in_weather(reference_landing):
    """The reference climb on a cold day with a wind from the south."""
    rows = [["0 km", "5 m/s", "180 deg"], ["12 km", "60 m/s", "180 deg"]]
    changed = reference_landing.change({"climb.day": "cold", "climb.wind": {"rows": rows}})
    return off_nominal.weather_cases(mplan.fly(changed))


def test_every_other_weather_is_flown(in_weather):
    """Three days without the wind and with it; the planned one is named so and not twice there."""
    names = [each.name for each in in_weather]
    assert names[0] == "as planned"
    assert len(names) == len(set(names)) == 6
    assert "cold day, with the wind" not in names
    assert all(each.reached for each in in_weather)


def test_a_warm_day_is_thicker_where_it_counts(in_weather):
    """Dynamic pressure peaks near 12 km, where warm air is thicker; drag takes more with it."""
    cases = {each.name: each for each in in_weather}
    warm, cold = cases["warm day, no wind"], cases["cold day, no wind"]
    assert warm.most_dynamic_pressure > 1.03 * cold.most_dynamic_pressure
    assert warm.flown.losses["drag"] > cold.flown.losses["drag"]
    assert warm.left < cold.left


def test_a_cross_wind_bends_the_stack(in_weather):
    """Pressure times angle of attack is several times that of calm air, on every day."""
    cases = {each.name: each for each in in_weather}
    for day in ("standard", "warm"):
        windy, calm = (cases[f"{day} day, {x}"].flown for x in ("with the wind", "no wind"))
        assert windy.most_load.value > 3.0 * calm.most_load.value
        assert windy.most_load.altitude < 20e3


def test_engines_of_boosters_too():
    """Those of a stage and of what burns beside it, as long as it does, each with its control."""
    plan = mplan.fly(mplan.load(MISSIONS / "northern_landing.toml"), remedies=False)
    found = {x.name: x for x in off_nominal.engine_out_cases(plan, 0, [100.0, 130.0])}
    assert list(found) == [
        "saddle: one engine out after 100 s",
        "girths: one engine out after 100 s",
        "saddle: one engine out after 130 s",
    ]
    of_core, of_pair = list(found.values())[:2]
    assert of_core.control.lost is None
    assert of_pair.control.worst.share > of_core.control.worst.share
    (planned, *others) = off_nominal.usual_cases(plan)
    assert planned.control is None
    assert {x.name: x.control is not None for x in others} == {
        x.name: "engine out" in x.name for x in others
    }
    assert "girths: one engine out after 60 s" in {x.name for x in others}


WEAK_UPPER = {"elements.pommel.engines.main.thrust_vacuum": "40 kN"}
WEAK_PAIR = {"elements.girths.engines.motor.thrust_sea_level": "100 kN"}


@pytest.mark.parametrize("change", [WEAK_UPPER, WEAK_PAIR])
def test_a_climb_that_ends_early_has_cases_as_well(change):
    """Too weak to reach orbit, or to leave the pad: what is then not lit has no control told."""
    weak = mplan.load(MISSIONS / "northern_landing.toml").change(change)
    plan = mplan.fly(weak, remedies=False)
    assert not plan.flight.end.climb.reached
    cases = off_nominal.usual_cases(plan)
    assert not any(x.reached for x in cases)
    lit = {x.element for x in plan.flight.burns}
    told = {x.name.split(":")[0] for x in cases if x.control and x.control.worst}
    assert told <= lit | {"girths"}  # which burn beside the first
