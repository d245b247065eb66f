"""Parts of a climb flown again from a stage's ignition."""

from __future__ import annotations

import numpy as np
import pytest

from mplan.studies import off_nominal


def test_from_a_stage_on(landing_plan):
    """As planned it ends as the whole climb did; weaker or an engine less, it has less left."""
    planned = landing_plan.flight.end.climb
    same, weak, without = off_nominal.upper_stage_cases(landing_plan, 1)
    assert same.name == "from second stage on, as planned"
    assert same.left == pytest.approx(planned.left, abs=5.0)  # kg, aimed anew from there
    lit = next(x for x in planned.track.events if x.what == "ignition" and x.name == "second_stage")
    assert same.flown.track.t[0] == lit.t
    assert np.allclose(same.flown.track.r[0], lit.state[:3])
    assert weak.left < same.left
    assert without.left < same.left


def test_a_single_engine_has_none_to_lose(landing_plan):
    """The last stage has one engine: no case without it."""
    names = [x.name for x in off_nominal.upper_stage_cases(landing_plan, 2)]
    assert len(names) == 2
    assert not any("engine out" in name for name in names)


def test_no_such_stage(landing_plan):
    """A climb of three stages has no fourth."""
    with pytest.raises(IndexError, match="tuple index"):
        off_nominal.upper_stage_cases(landing_plan, 3)
