"""How low the ship's perilune sinks while it waits."""

from pathlib import Path

import pytest

import mplan
from mplan.checks import lunar_orbit
from mplan.checks.remedies import for_findings

MISSIONS = Path(__file__).parents[1] / "missions"


def told(plan):
    return list(lunar_orbit.findings(plan.flight))


@pytest.fixture(scope="module")
def low():
    """Return a function altitude, field -> the plan of an orbit so low, over the equator."""
    start = mplan.fly(mplan.load(MISSIONS / "orbit_and_return.toml"))

    def fly(altitude, field):
        changes = {"orbits.lunar_altitude": altitude, "orbits.lunar_gravity": field}
        return mplan.fly(start.scenario.change(changes), like=start)

    return fly


def test_a_high_orbit_is_no_matter(orbital_plan):
    assert told(orbital_plan) == []


def test_a_low_one_sinks_and_is_told(low):
    """To degree 8 within 40 hours: a decision, or, into the highest ground, no flight."""
    (found,) = told(low("33 km", "degree 8"))
    assert found.severity == "needs a decision"
    assert found.check == "lunar orbit"
    assert found.text.startswith("the ship's perilune sinks to ")
    assert 10.8 < float(found.found.removesuffix(" km")) < 15.0
    assert found.limit == "15.0 km at least"
    (found,) = told(low("20 km", "degree 8"))
    assert found.severity == "stops the flight"


def test_a_higher_orbit_is_flown_as_the_remedy(low):
    """One that stays up closes the plan; it is named by its height."""
    plan = low("33 km", "degree 8")
    found = told(plan)[0]
    (worked,) = for_findings(plan.flight, (found,))
    assert worked.remedies
    assert worked.remedies[0].change.startswith("a lunar orbit ")
    height = worked.remedies[0].change.removeprefix("a lunar orbit ").removesuffix(" up")
    assert told(low(height, "degree 8")) == []


def test_what_is_told_follows_the_field(low):
    """J2 and C22 alone would leave it where it is."""
    assert told(low("33 km", "degree 2")) == []


@pytest.mark.parametrize("field", ["degree 2", "degree 8"])
def test_coasts_in_a_row_are_told_as_each_by_itself(low, field):
    """Begin and end tell of all between them, unless it sinks: then each event is looked at."""
    plan = low("33 km" if field == "degree 8" else "60 km", field)
    waits = [x for x in plan.flight.passages if x.before.moon and x.after.moon]
    each = min(lunar_orbit.lowest_perilune(x) for x in waits)
    if field == "degree 8":
        assert lunar_orbit.lowest(plan.flight) == each < lunar_orbit.SAFE
    else:
        assert min(lunar_orbit.lowest(plan.flight), each) > lunar_orbit.SAFE
        assert lunar_orbit.lowest(plan.flight) == pytest.approx(each, abs=3e3)
