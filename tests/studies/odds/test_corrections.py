"""Corrections of single missions, against those that the plan works out for all at once."""

from __future__ import annotations

import numpy as np
import pytest

from mplan.flight import midcourse
from mplan.scenario.dispersions.spread import CUT, Spread
from mplan.studies.odds import corrections
from mplan.studies.odds.design import design

MISSIONS = 8_000
# The plan's 50,000 draws are good to 1 % at the 99 % point, these by the root of their number to
# 2.5 %; twice that is allowed.
NEAR = 2.0 * 0.01 * (50_000 / MISSIONS) ** 0.5


def test_sizes_scatter_as_the_plan_says(landing_plan):
    """The plan draws its own numbers, and all corrections at once."""
    flight = landing_plan.flight
    for chain in corrections.of(flight):
        numbers = design([Spread(-CUT, CUT, 1.0, False)] * len(chain.titles), MISSIONS, 1)
        sizes = np.array([chain.sizes(own)[1] for own in numbers])
        for column, index in zip(sizes.T, chain.events, strict=True):
            passage = flight.passages[index]
            outbound = passage.burn.leg == corrections.OUTBOUND
            start = (midcourse.outbound_start if outbound else midcourse.homeward_start)(
                passage.before
            )
            times = (*passage.before.corrected, passage.before.t - start[2])
            planned = midcourse.corrections(flight.scenario, start, times)[-1]
            assert column.mean() == pytest.approx(planned.mean, rel=0.02)
            assert np.quantile(column, 0.99) == pytest.approx(planned.most, rel=NEAR)
            assert passage.burn.impulse == pytest.approx(planned.most)


def test_only_errors_that_are_stated_are_drawn(landing_plan):
    """Speed, directions and time of the burn before; size and directions of each correction."""
    (outbound, homeward) = corrections.of(landing_plan.flight)
    errors = landing_plan.scenario.errors
    drawn = [errors.speed, errors.direction, errors.direction, errors.time]
    drawn += [errors.correction_direction] * 3 + [errors.correction_size]
    drawn += [errors.position_known] * 3 + [errors.speed_known] * 3
    assert len(outbound.titles) == sum(each > 0.0 for each in drawn)
    assert any("translunar injection" in title for title in outbound.titles)
    assert any("trans-Earth injection" in title for title in homeward.titles)


def test_without_errors_nothing_is_corrected(landing_plan):
    for chain in corrections.of(landing_plan.flight):
        beyond, sizes = chain.sizes([0.0] * len(chain.titles))
        assert beyond == 0.0
        assert sizes == pytest.approx([0.0] * len(sizes))
