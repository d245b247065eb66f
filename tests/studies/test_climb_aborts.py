"""Coverage of the climb by ways out: whole, in order, and its gaps."""

from __future__ import annotations

from itertools import pairwise

import pytest

import mplan
from mplan.checks.abort_to_orbit import ALONE
from mplan.checks.aborts import BACK, TOWER
from mplan.studies import climb_aborts


@pytest.fixture(scope="module")
def found(landing_plan):
    return climb_aborts.coverage(landing_plan)


def test_the_demo_is_covered(landing_plan, found):
    """From the pad to insertion a way out is open: tower, then back, then on to orbit."""
    assert found.gaps == ()
    assert found.end == landing_plan.flight.end.climb.track.t[-1]
    first = {name: next(x for x in found.open if x.way == name) for name in (TOWER, BACK, ALONE)}
    assert first[TOWER].begin == 0.0
    assert first[BACK].begin < first[TOWER].end
    assert first[ALONE].end == found.end


def test_the_tower_is_a_way_until_it_is_dropped(landing_plan, found):
    """Its span ends with its being cast off, within the spacing of moments."""
    gone = next(x.elapsed for x in landing_plan.timeline if "escape tower" in x.event)
    tower = next(x for x in found.open if x.way == TOWER)
    track = landing_plan.flight.end.climb.track.t
    spacing = max(then - t for t, then in pairwise(track))
    assert gone <= tower.end <= gone + climb_aborts.STEP + spacing


def test_spans_follow_one_another(found):
    """Each way's spans touch, and turn from closed to open and back."""
    for name in {span.way for span in found.spans}:
        spans = [span for span in found.spans if span.way == name]
        assert all(x.end == y.begin for x, y in pairwise(spans))
        assert all(bool(x.closed) != bool(y.closed) for x, y in pairwise(spans))


def test_gaps_have_reasons(first_landing):
    """A crew that stands 3 g has a gap after the tower, with why each way is closed."""
    strict = mplan.fly(first_landing.change("aborts.peak_load", 3.0))
    gaps = climb_aborts.coverage(strict).gaps
    assert gaps
    assert all(gap.begin < gap.end for gap in gaps)
    assert any("the fall loads the crew with" in reason for reason in gaps[0].reasons)


def test_three_escapes(landing_plan):
    """From the pad, in the thickest air, and at the last moment."""
    flights = climb_aborts.escapes(landing_plan)
    assert list(flights) == [
        "from the pad",
        "where the air presses most",
        "as the tower is dropped",
    ]
    assert flights["from the pad"].start.altitude == 0.0
    assert flights["where the air presses most"].pull < flights["from the pad"].pull
    assert flights["as the tower is dropped"].caught is None
