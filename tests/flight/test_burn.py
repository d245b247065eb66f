"""A burn flown out from its leg's place, and from one that is not the cheapest."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from mplan.flight import burn, homeward
from mplan.physics.constants import MU_MOON
from mplan.physics.twobody import kepler

HOME = "trans-Earth injection"


@pytest.fixture(scope="module")
def passage(landing_plan):
    """The burn for home, with the state before it."""
    return next(x for x in landing_plan.flight.passages if x.burn and x.burn.leg == HOME)


@pytest.mark.parametrize(("late", "counted"), [(0.0, True), (400.0, False)])
def test_no_loss_below_zero(passage, monkeypatch, late, counted):
    """An impulse set minutes past its best place: the burn about it would spend less than it.

    That is no gain by taking time. The figure is left out, which is told beside the burn.
    """

    def misplaced(state, event, ahead):
        need = homeward.return_injection(state, event, ahead)
        r, v = kepler(need.apse.r, need.apse.v, late, MU_MOON)
        impulse = float(np.linalg.norm(need.apse.wanted(r, v) - v))
        return replace(need, impulse=impulse, apse=replace(need.apse, r=r, v=v))

    monkeypatch.setitem(burn.LEGS, HOME, misplaced)
    _, record = burn.fly_burn(passage.before, passage.event, ())
    assert ("finite burn" in record.losses) == counted
    assert all(x > 0.0 for x in record.losses.values())
    assert ("finite-burn loss not counted" in record.note) != counted
    assert record.required == pytest.approx(record.impulse + sum(record.losses.values()))
