"""What is left before the last way closes, and what a gap between two looks may then be."""

from __future__ import annotations

from dataclasses import replace
from math import inf

import pytest

from mplan.contingencies.ways_out import every
from mplan.contingencies.ways_out.cells import TimeCell, looked_over, may_hide
from mplan.contingencies.ways_out.coverage import covered
from mplan.contingencies.ways_out.looks import look
from mplan.contingencies.ways_out.spare import Spare, TimedSpare, longest_gap, spare
from mplan.contingencies.ways_out.way_out import DOCKED, StillThere, WayBurn, WayOut
from mplan.physics.constants import HOUR

SHIP = "crew_module"
BEGIN, END = 30.0 * HOUR, 62.0 * HOUR  # of the coast to the Moon
CELL = TimeCell(SHIP, BEGIN, END, 4.0 * HOUR)


def looks_at(*velocities: float, ways: frozenset[str] = frozenset("a")) -> list[TimedSpare]:
    """Looks an hour apart that find so much left [m/s]."""
    return [TimedSpare(i * HOUR, Spare(x, ways=ways)) for i, x in enumerate(velocities)]


def test_a_margin_that_cannot_run_out_hides_nothing():
    """Of 100 m/s a rate of 10 m/s an hour, doubled, takes none in the hour between two looks."""
    assert longest_gap(looks_at(110.0, 100.0, 90.0), 1) == 0.0
    assert longest_gap(looks_at(100.0, 100.0), 0) == 0.0
    assert longest_gap(looks_at(inf, inf), 0) == 0.0


def test_how_long_a_margin_can_be_gone():
    """From 10 m/s to nothing and back to 6 at 40 m/s an hour takes 24 minutes: 36 are left."""
    found = longest_gap(looks_at(30.0, 10.0, 6.0), 1)
    assert found == pytest.approx(HOUR - 16.0 / 40.0 * HOUR)


def test_each_quantity_is_counted_by_its_own_rate():
    """Velocity to spare does not help suits that run out."""
    looks = [TimedSpare(i * HOUR, Spare(500.0, suits=x * HOUR)) for i, x in enumerate((5, 2, 0.5))]
    looks = [x._replace(left=x.left._replace(ways=frozenset("a"))) for x in looks]
    assert longest_gap(looks, 1) == pytest.approx(HOUR - 2.5 / 6.0 * HOUR)


def test_without_a_way_open_at_both_all_of_the_step_may_be_a_gap():
    one, then = looks_at(500.0, 500.0)
    other = then._replace(left=then.left._replace(ways=frozenset("b")))
    assert longest_gap([one, other], 0) == HOUR
    assert longest_gap([one, then._replace(left=None)], 0) == 0.0  # an edge is looked for there


def test_what_is_left_is_that_of_the_way_with_most():
    """Closed ways count for nothing; one that ends docked is known to its end if it is the best."""

    def way(name, margin, **more):
        burn = WayBurn("burn", "x", "y", 0.0, 100.0, 100.0 + margin)
        return WayOut(name, 0.0, (), (burn,), **more)

    best = way("best", 20.0, left=StillThere(3.0, "oxygen", 0.4))
    ways = [best, way("least", 60.0), way("shut", 90.0, closed="no"), way("up", 80.0, ends=DOCKED)]
    found = spare(ways, best, 2.0 * HOUR)
    assert found == Spare(60.0, 2.0 * HOUR, 3.0, 0.4, frozenset({"best", "least", "up"}))
    assert spare([WayOut("falls", 0.0, ())], WayOut("falls", 0.0, ())).velocity == inf


@pytest.fixture
def dips(monkeypatch):
    """Let the only way's margin dip to nothing for a time about a middle [s since lift-off]."""

    def install(middle: float, half: float, slope: float) -> None:
        def ways(point, failure):
            margin = slope * (abs(point.elapsed - middle) - half)
            burn = WayBurn("burn", "x", "y", point.elapsed, 100.0, 100.0 + margin)
            home = point.elapsed + HOUR
            closed = "lacks" if margin < 0.0 else ""
            yield WayOut("way", point.elapsed, point.craft, (burn,), home=home, closed=closed)

        monkeypatch.setattr(every, "BY_STRETCH", {"to the Moon": ways})

    return install


@pytest.mark.parametrize("off", [0.4, 1.3, 2.0, 2.6, 3.7])
def test_a_gap_shorter_than_a_step_is_found(landing_plan, dips, off):
    """Of 40 min between looks 4 h apart, wherever between two: the margin falls towards it."""
    middle = BEGIN + 12.0 * HOUR + off * HOUR
    dips(middle, 20.0 * 60.0, 30.0 / HOUR)
    flight = landing_plan.flight
    found = covered({CELL: looked_over(flight, CELL, ("called off",))}, [CELL], ("called off",))
    (gap,) = found.gaps
    assert gap.begin == pytest.approx(middle - 20.0 * 60.0, abs=60.0)
    assert gap.end == pytest.approx(middle + 20.0 * 60.0, abs=60.0)
    assert found.unseen <= CELL.hidden < CELL.step / 7.0


def test_looks_in_between_are_bounded_and_what_is_left_is_told(landing_plan, monkeypatch):
    """Where every look finds another way there is no end to it: the rest is told as a length."""

    def ways(point, failure):
        yield WayOut(f"at {point.elapsed}", point.elapsed, (), home=point.elapsed + HOUR)

    monkeypatch.setattr(every, "BY_STRETCH", {"to the Moon": ways})
    flight = landing_plan.flight
    looks = looked_over(flight, CELL, ("called off",))
    assert len(looks) == 9 + 8
    found = covered({CELL: looks}, [CELL], ("called off",))
    assert found.unseen == max(may_hide(looks)) > CELL.hidden


def test_suits_are_counted_where_the_cabin_leaks(landing_plan, made_up):
    """Home in an hour: what is left of the suits is the rest, and only where they are worn."""
    made_up(lambda point, failure: "")
    flight = landing_plan.flight
    worn = replace(flight, scenario=flight.scenario.change("aborts.suited_time", "5 h"))
    seen = look(worn, SHIP, BEGIN).seen
    assert seen["cabin leaks"].spare.suits == pytest.approx(4.0 * HOUR)
    assert seen["called off"].spare.suits == inf
    assert seen["called off"].spare.velocity == pytest.approx(50.0)
