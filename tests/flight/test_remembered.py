"""What is remembered by its inputs changes no plan: whatever was flown before, the digits are same.

Memory is that of functions of frozen inputs alone. Here it is emptied, or full of other flights.
"""

from __future__ import annotations

import functools
import gc
import json
from pathlib import Path

import pytest

import mplan
from mplan.contract import as_json
from mplan.vehicle import same

SCENARIOS = Path(__file__).parents[2] / "scenarios"
MISSIONS = ("orbit_and_return", "round_the_moon", "lander_taken_up", "two_launches")
CHANGES = (
    {},
    {"orbits.parking_altitude": "191 km"},
    {"dates.transearth_time": "71 h"},
    {"margins.burn": "3 %"},  # flown alike, and told otherwise
)
KEPT = {"_integrator", "_de421", "_cells"}  # compiled programs and tables, no results


def forget() -> None:
    """Empty every memory of results that the package has."""
    for each in gc.get_objects():
        if type(each) is functools._lru_cache_wrapper:  # no attribute of a proxy is asked for
            where = getattr(each, "__module__", None) or ""
            if where.startswith("mplan.") and each.__name__ not in KEPT:
                each.cache_clear()
    same.forget()


def told(scenario: mplan.Scenario, like: mplan.Plan | None = None) -> str:
    """Return all that a plan says, to the last digit."""
    return json.dumps(json.loads(as_json(mplan.fly(scenario, like=like))), sort_keys=True)


@pytest.mark.parametrize("name", MISSIONS)
def test_the_same_plan_whatever_was_flown_before(name):
    """Each change flown with nothing remembered, and again after the others, the last first."""
    scenario = mplan.load(SCENARIOS / f"{name}.toml")
    first = mplan.fly(scenario)
    changed = [scenario.change(values) if values else scenario for values in _fitting(scenario)]
    alone = []
    for each in changed:
        forget()
        alone.append(told(each, first))
    forget()
    after_others = [told(each, first) for each in reversed(changed)]
    assert after_others[::-1] == alone
    assert len(set(alone)) == len(changed)


def _fitting(scenario: mplan.Scenario) -> list[dict[str, str]]:
    """Return the changes that a mission has keys for."""
    home = scenario.dates.transearth_time is not None
    return [values for values in CHANGES if home or "dates.transearth_time" not in values]
