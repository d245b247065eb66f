"""What corrections cost when burns miss, and how it reaches the budget."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

import mplan
from mplan.physics.constants import HOUR
from mplan.studies import midcourse

ERRORS = {
    "errors.speed": "0.4 m/s",
    "errors.direction": "0.02 deg",
    "errors.time": "0.3 s",
    "errors.correction_size": "1 %",
    "errors.correction_direction": "0.3 deg",
}
STATED = {
    "errors": None,
    "allowances": {"outbound_correction": "20 m/s", "homeward_correction": "8 m/s"},
}


@pytest.fixture(scope="module")
def plan(reference_landing):
    return mplan.fly(reference_landing.change(ERRORS))


def test_waiting_costs(plan):
    """The later a correction, the more it takes, out and home."""
    times = [x * HOUR for x in (6, 26, 48, 60)]
    for arc in (midcourse.outbound, midcourse.homeward):
        found = arc(plan, times)
        assert np.all(np.diff([x.mean for x in found]) > 0.0)
        assert all(x.most > x.mean for x in found)


def test_the_budget_holds_the_99_per_cent_correction(plan):
    """The burn is as large as the study says for its time, is no estimate, and says its mean."""
    burn = next(x for x in plan.burns if x.leg == "outbound correction")
    after = burn.elapsed + plan.flight.end.lift_off - plan.flight.end.outbound.injection
    study = midcourse.outbound(plan, [after])[0]
    assert burn.impulse == pytest.approx(study.most, rel=1e-9)
    assert burn.estimate == ""
    assert f"mean {study.mean:.1f} m/s" in burn.note


def test_better_burns_need_smaller_corrections(reference_landing, plan):
    """Half the errors, half the corrections: all is linear.

    To 1e-4, for a smaller outbound correction makes later burns last a fraction of a second
    longer, and so moves the time of the correction home.
    """
    half = {"errors.speed": "0.2 m/s", "errors.direction": "0.01 deg", "errors.time": "0.15 s"}
    other = mplan.fly(reference_landing.change({**ERRORS, **half}))
    sizes = [
        next(x.impulse for x in y.burns if x.leg == "homeward correction") for y in (plan, other)
    ]
    assert sizes[0] / sizes[1] == pytest.approx(2.0, rel=1e-4)


def test_without_errors_there_is_nothing_to_study(landing_plan, reference_landing):
    """The allowances are what there is, and the study says so."""
    plain = replace(landing_plan.flight, scenario=reference_landing.change(STATED))
    with pytest.raises(ValueError, match=r"states no \[errors\]"):
        midcourse.outbound(replace(landing_plan, flight=plain), [HOUR])


def test_one_of_the_two_must_be_stated(reference_landing):
    """A scenario with neither errors nor allowances is incomplete."""
    with pytest.raises(mplan.ScenarioError, match=r"allowances\.outbound_correction: missing"):
        reference_landing.change({**STATED, "allowances.outbound_correction": None})


def test_navigation_errors_reach_the_budget(reference_landing, plan):
    """A state known to 5 km and 0.2 m/s asks for more at each correction, and leaves more."""
    known = {"errors.position_known": "5 km", "errors.speed_known": "0.2 m/s"}
    other = mplan.fly(reference_landing.change({**ERRORS, **known}))
    for leg in ("outbound correction", "homeward correction"):
        before, after = (next(x for x in y.burns if x.leg == leg).impulse for y in (plan, other))
        assert after > before
    left = [midcourse.outbound(x, [26 * HOUR])[0].miss for x in (plan, other)]
    assert left[1] > 2.0 * left[0]
