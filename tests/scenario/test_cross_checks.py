"""A change asks again only what it touches, and tells the same as if all had been asked."""

import pytest

from mplan import shipped
from mplan.scenario import ScenarioError, load, raw
from mplan.scenario.changing import cross_checks, shared


class Noted(dict):
    """Tables that note under which keys they were asked."""

    def __init__(self, tables):
        super().__init__(tables)
        self.asked = set()

    def get(self, key, default=None):
        self.asked.add(key)
        return super().get(key, default)

    def __getitem__(self, key):
        self.asked.add(key)
        return super().__getitem__(key)

    def __contains__(self, key):
        self.asked.add(key)
        return super().__contains__(key)

    def __iter__(self):
        raise AssertionError("a check goes through all tables")


SHIPPED = sorted(shipped.folder("scenarios").glob("*.toml"))
BAD = [
    {"mission.crew": True},
    {"mission.landing_crew": 7},
    {"orbits.parking_altitude": "185"},
    {"orbits.lunar_apolune": "20 km"},
    {"orbits.parking_hight": "185 km"},
    {"stack.0": "nothing_of_this_name"},
    {"surface_walks": {"crew": 9}},
    {"elements.crew_module.inside": "crew_module"},
    {"elements.transfer_stage.tanks.oxygen.residuals": "900 t"},
    {"elements.transfer_stage.starts": 3, "climb.steps": 2},
    {"elements.transfer_stage.engines.main.fuel": "milk", "dates.launch_day": "yesterday"},
    {"thruster_budget.reserves": {"escape_tower": "3 %"}},
    {"control": {"nobody": 1}},
    {"orbit_upkeep": {"element": "nobody", "lowest_perilune": "50 km"}},
    {"ships": {"tug": {"stack": ["escape_tower"]}}},
]


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_no_check_asks_for_tables_that_it_is_not_shown(path):
    data = load(path).tables_as_written()
    for check, keys in cross_checks.CHECKS:
        tables = Noted(data)
        assert not list(check(tables))
        assert tables.asked <= set(keys), check.__module__
    tables = Noted(data)
    list(cross_checks.references.findings(tables, tables, raw.met(data)))
    assert tables.asked <= set(cross_checks.NAMES)


@pytest.mark.parametrize("values", BAD, ids=str)
def test_what_is_wrong_is_told_as_if_all_were_asked_again(landing, values, monkeypatch):
    told = _told(landing, values)
    monkeypatch.setattr(shared, "touched", lambda data, before: set(data))
    monkeypatch.setattr(shared, "with_models", lambda data, before, read: dict(data))
    monkeypatch.setattr(shared, "parts", lambda data, before, keys: data)
    assert told == _told(landing, values)


def test_tables_that_stay_are_not_read_again(landing):
    changed = landing.change("orbits.parking_altitude", "190 km")
    assert changed.orbits is not landing.orbits
    assert changed.mission is landing.mission
    assert all(x is landing.elements[name] for name, x in changed.elements.items())


def test_a_value_that_only_equals_the_one_before_is_read_again(landing):
    number = landing.elements["transfer_stage"].engines["main"].count
    assert number == 1
    with pytest.raises(ScenarioError, match="found true"):
        landing.change("elements.transfer_stage.engines.main.count", True)


def test_a_change_of_one_with_tables_in_place_of_its_own_is_one_of_what_is_written(landing):
    mission = landing.mission.model_copy(update={"crew": 2})
    made = landing.with_tables(lambda of: {"mission": mission})
    assert made.mission.crew == 2
    assert made.change("orbits.parking_altitude", "190 km").mission == landing.mission


def _told(scenario, values):
    with pytest.raises(ScenarioError) as problems:
        scenario.change(values)
    return str(problems.value)
