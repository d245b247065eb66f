"""Keys are bounded by what can be built: a slip of the unit is told where it is written."""

import re

import pytest

import mplan
from mplan.scenario.schema import scenario_schema

STAGE = "elements.first_stage"


def _described(node):
    """The descriptions of all quantities of a schema."""
    if isinstance(node, dict):
        if node.get("type") == "string" and "with its unit" in node.get("description", ""):
            yield node["description"]
        for each in node.values():
            yield from _described(each)
    elif isinstance(node, list):
        for each in node:
            yield from _described(each)


@pytest.mark.parametrize(
    ("key", "value", "text"),
    [
        (f"{STAGE}.diameter", "1e8 km", "from 1 mm to 200 m (what can be built)"),
        (f"{STAGE}.dry_mass", "1e-300 kg", "from 1 g to 20000 t (what can be built)"),
        (f"{STAGE}.dry_mass", "1e300 kg", "from 1 g to 20000 t (what can be built)"),
        (f"{STAGE}.engines.main.thrust_vacuum", "1e12 N", "from 0.01 N to 300 MN"),
        (f"{STAGE}.engines.main.mixture_ratio", 0.1, "at least 0.2, at most 20"),
        (f"{STAGE}.engines.main.starts", 10**18, "at most 10,000,000"),
        ("mission.crew", 21, "at least 0, at most 20"),
        ("mission.surface_stay", "2 yr", "from 0.1 s to 400 d (a mission lasts 400 d at most)"),
        ("orbits.parking_revolutions", 101, "at most 100"),
    ],
)
def test_beyond_what_can_be_built(reference_landing, key, value, text):
    engine = next(iter(reference_landing.elements["first_stage"].engines))
    key = key.replace("engines.main", f"engines.{engine}")
    with pytest.raises(mplan.ScenarioError) as refused:
        reference_landing.change(key, value)
    assert len(refused.value.problems) == 1
    assert text in str(refused.value)


def test_every_quantity_has_two_bounds():
    """None is open to one side: not in the scenario, its elements or its engines."""
    described = list(_described(scenario_schema()))
    assert len(described) > 100
    both = re.compile(r"with its unit, (from .* to |at least .* and below )")
    assert [each for each in described if not both.search(each)] == []


def test_corrections_without_a_table_of_them(reference_landing):
    """Neither errors nor allowances: what the events make has to be stated."""
    events = reference_landing.events_as_written()
    gone = {"events": events, "errors": None}
    assert reference_landing.allowances.outbound_correction is None
    with pytest.raises(mplan.ScenarioError) as refused:
        reference_landing.change(gone)
    told = sorted(each.key for each in refused.value.problems)
    assert told == ["allowances.homeward_correction", "allowances.outbound_correction"]
    without = [x for x in events if not str(x.get("leg")).endswith("correction")]
    reference_landing.change({**gone, "events": without})


@pytest.mark.parametrize("name", ["", "two\nlines", "bell\a", "\x1b[31mred", "x" * 161, "\x85"])
def test_a_name_is_one_line(reference_landing, name):
    """Control characters would steer a terminal; what is longer fits under no picture."""
    with pytest.raises(mplan.ScenarioError, match="one line of at most 160 characters"):
        reference_landing.change("mission.name", name)
