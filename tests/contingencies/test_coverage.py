"""Coverage of the climb by abort modes: whole, in order, and its gaps."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

import mplan
from mplan.contingencies import coverage, tower_escape
from mplan.contingencies.abort_to_orbit import ALONE
from mplan.contingencies.climb_point import ClimbPoint
from mplan.contingencies.return_to_splash import BACK
from mplan.contingencies.tower_escape import TOWER


@pytest.fixture(scope="module")
def found(landing_plan):
    return coverage.of_climb(landing_plan.flight)


def test_the_demo_is_covered(landing_plan, found):
    """From the pad to insertion an abort mode is open: tower, then back, then on to orbit."""
    assert found.gaps == ()
    assert found.end == landing_plan.flight.end.climb.track.t[-1]
    first = {name: next(x for x in found.open if x.mode == name) for name in (TOWER, BACK, ALONE)}
    assert first[TOWER].begin == 0.0
    assert first[BACK].begin < first[TOWER].end
    assert first[ALONE].end == found.end


def test_the_tower_is_a_way_until_it_is_dropped(landing_plan, found):
    """Its span ends with its jettison, within the spacing of moments."""
    gone = next(x.elapsed for x in landing_plan.timeline if "escape tower" in x.event)
    tower = next(x for x in found.open if x.mode == TOWER)
    track = landing_plan.flight.end.climb.track.t
    spacing = max(then - t for t, then in pairwise(track))
    assert gone <= tower.end <= gone + coverage.STEP + spacing


def test_spans_follow_one_another(found):
    """Each way's spans touch, and turn from closed to open and back."""
    for name in {span.mode for span in found.spans}:
        spans = [span for span in found.spans if span.mode == name]
        assert all(x.end == y.begin for x, y in pairwise(spans))
        assert all(bool(x.closed) != bool(y.closed) for x, y in pairwise(spans))


def test_gaps_have_reasons(reference_landing):
    """A crew that stands 3 g has a gap after the tower, with why each way is closed."""
    strict = mplan.fly(reference_landing.change("aborts.peak_load", 3.0))
    gaps = coverage.of_climb(strict.flight).gaps
    assert gaps
    assert all(gap.begin < gap.end for gap in gaps)
    assert any("the fall loads the crew with" in reason for reason in gaps[0].reasons)


def test_three_escapes(landing_plan):
    """From the pad, in the thickest air, and at the last moment."""
    flights = tower_escape.along_climb(landing_plan.flight)
    assert list(flights) == [
        "from the pad",
        "at maximum dynamic pressure",
        "just before tower jettison",
    ]
    assert flights["from the pad"].start.altitude == 0.0
    assert flights["at maximum dynamic pressure"].pull < flights["from the pad"].pull
    assert flights["just before tower jettison"].overtaken is None


def test_the_state_at_a_point_weighs_what_was_flown(any_plan):
    """Tanks less what was drawn, with the crew, and without what was jettisoned: the track's mass.

    To a kilogram in two thousand tonnes. Between two burns the track has lost already what will
    settle the propellant of the next stage, while the state holds it until that ignition.
    """
    track = any_plan.flight.end.climb.track
    climb = [burn for burn in any_plan.burns if burn.leg == "climb"]
    for index in range(0, len(track.t), 3):
        state = ClimbPoint(any_plan.flight, index).state
        burns = any(x.elapsed <= track.t[index] < x.elapsed + x.duration for x in climb)
        settles = 0.0 if burns else max(x.settling.propellant for x in climb if x.settling)
        heavier = state.mass(state.craft[0]) - track.mass[index]
        assert -1.0 < heavier < settles + 1.0


def test_points_on_either_side_of_a_jettison(landing_plan):
    """Two points of the track share its time: the tower is on the stack at the first alone."""
    track = landing_plan.flight.end.climb.track
    (tower,) = landing_plan.flight.burns[1].cast_off
    first, then = (int(i) for i in np.flatnonzero(track.t == tower.t))
    assert "escape_tower" in ClimbPoint(landing_plan.flight, first).stack
    assert "escape_tower" not in ClimbPoint(landing_plan.flight, then).stack
