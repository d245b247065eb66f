"""Aborts along the descent: two stages, one last moment."""

from __future__ import annotations

import pytest

from mplan.contingencies import descent_aborts


@pytest.fixture(scope="module")
def found(landing_plan):
    return descent_aborts.along_descent(landing_plan.flight, 16)


def test_they_lie_on_the_track(landing_plan, found):
    """Moments follow one another from ignition to touchdown, the same for both stages."""
    t = [x.t for x in found.ascent]
    assert t == sorted(t)
    assert t[0] == 0.0
    assert t[-1] == pytest.approx(landing_plan.flight.end.descent.duration)
    assert [x.t for x in found.descent] == t


def test_the_last_abort(landing_plan, found):
    """After it the ground comes first: its height is near the dead zone's edge."""
    assert found.last.margin > 0.0
    assert found.last.t > landing_plan.flight.end.descent.phase("touchdown").t
    assert 0.5 * found.last.dead_zone < found.last.altitude < 1.5 * found.last.dead_zone


def test_the_descent_stage_ends_between_two_moments(found):
    """The crossing lies between the last abort with a margin and the first without."""
    good = [x.t for x in found.descent if x.margin >= 0.0]
    bad = [x.t for x in found.descent if x.margin < 0.0]
    assert good[-1] <= found.descent_ends <= bad[0]


def test_no_landing_no_aborts(orbital_plan):
    """A mission without a descent has none."""
    assert descent_aborts.along_descent(orbital_plan.flight) == ((), (), None)


def test_aborts_require_more_the_later_they_come(landing_plan):
    """The ascent stage's margin falls along the braking, and there is one until the last hover."""
    flight = landing_plan.flight
    descent = flight.end.descent
    braking = descent_aborts.points_of(descent, 6, descent.phase("approach").t)
    margins = [x.margin for x in descent_aborts.by_ascent_stage(flight, braking)]
    assert margins == sorted(margins, reverse=True)
    late = descent_aborts.points_of(descent, 12, descent.phase("touchdown").t)
    assert all(x.margin > 0.0 for x in descent_aborts.by_ascent_stage(flight, late))


def test_the_descent_stage_brings_both_back_early_on_only(landing_plan):
    """What is left in its tanks then is more than what was spent; soon it is not."""
    flight = landing_plan.flight
    descent = flight.end.descent
    points = descent_aborts.points_of(descent, 6, descent.phase("approach").t)
    margins = [x.margin for x in descent_aborts.by_descent_stage(flight, points)]
    assert margins[0] > 1000.0
    assert margins[-1] < 0.0
