"""While a ship docks to what waits for it, what it is about to be joined to counts as there."""

from pathlib import Path

import pytest

import mplan
from mplan.contingencies.ways_out import every
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.flight import walk
from mplan.vehicle import stack

SCENARIOS = Path(mplan.__file__).parents[1] / "scenarios"
LOST = "main engine lost"


@pytest.fixture(scope="module")
def flight():
    """A crew that meets their lander, on a stage of its own, in lunar orbit."""
    return walk.fly(mplan.load(SCENARIOS / "crew_follows.toml"))


@pytest.fixture(scope="module")
def docking(flight):
    """The passage of the crew's docking to the lander."""
    home = stack.crew_module(flight.scenario)
    return next(
        x
        for x in flight.passages
        if x.event.do == "dock" and x.before.crew.get(home) and x.before.moon is not None
    )


def _ways(flight, elapsed, failure=LOST):
    point = CabinPoint(flight, stack.crew_module(flight.scenario), elapsed)
    return every.ways_out(point, failure)


def test_the_lander_brings_them_home(flight, docking):
    """The ship alone has too little; the lander's engine, what it stands on dropped, has enough."""
    before, after = docking.before, docking.after
    ship = before.joined(stack.crew_module(flight.scenario))
    for share in (0.0, 0.5, 0.99):
        elapsed = before.elapsed + share * (after.elapsed - before.elapsed)
        way = next(x for x in _ways(flight, elapsed) if not x.closed)
        assert way.burns[0].element not in ship
        assert way.burns[0].elapsed > after.elapsed
        assert "docks first, as planned" in way.note
        assert "dropped before" in way.note


def test_it_is_the_way_that_there_is_once_docked(flight, docking):
    """A moment before the docking is over, and after it, the same engine leaves at one time."""
    ends = docking.after.elapsed
    before, after = (
        next(x for x in _ways(flight, ends + off) if not x.closed) for off in (-5.0, 5.0)
    )
    assert before.burns[0].element == after.burns[0].element
    assert before.burns[0].elapsed == pytest.approx(after.burns[0].elapsed, abs=30.0)
    assert before.required == pytest.approx(after.required, abs=1.0)


def test_a_ship_that_can_leave_by_itself_does_not_dock_first(flight, docking):
    """Called off, its own main engine brings the crew home."""
    ways = _ways(flight, docking.before.elapsed + 60.0, "called off")
    assert any(not x.closed for x in ways)
    assert not any("docks first" in x.note for x in ways)
