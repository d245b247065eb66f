"""Into lunar orbit in one, two or three burns."""

from __future__ import annotations

from math import radians

import pytest

from mplan.studies import captures


def test_without_a_turn_the_burns_add_up_alike(landing_plan):
    """Along the velocity at one height, however many steps: the same sum (energy, vis-viva)."""
    totals = [x.total for x in captures.capture_options(landing_plan)]
    assert totals == pytest.approx([totals[0]] * 3)


def test_two_burns_are_those_of_the_budget(landing_plan):
    """The plan's own insertion and circularisation, impulsive, to a tenth of a metre a second.

    Between them J2 turns the ellipse's apsides, which the plan flies and this table does not.
    """
    two = captures.capture_options(landing_plan)[1]
    flown = [x.impulse for x in landing_plan.burns if x.leg.startswith("lunar-orbit")]
    assert two.burns == pytest.approx(flown, abs=0.1)


def test_a_wide_turn_is_cheapest_far_out(landing_plan):
    """Thirty degrees cost half as much over a far apolune; half a degree is not worth the wait."""
    one, _, three = captures.capture_options(landing_plan, radians(30.0))
    assert three.total < 0.8 * one.total
    slight = captures.capture_options(landing_plan, radians(0.5))
    assert min(slight, key=lambda way: way.total).name == "one burn"


def test_the_wait_is_the_ellipses(landing_plan):
    """None, two revolutions of the capture ellipse, one of the far one."""
    durations = [x.duration / 3600.0 for x in captures.capture_options(landing_plan)]
    assert durations == pytest.approx([0.0, 4.28, 13.95], abs=0.01)
