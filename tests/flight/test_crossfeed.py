"""An engine that says so draws from another element's tanks, as long as they are joined."""

from __future__ import annotations

import pytest

import mplan
from mplan.flight import crossfeed, walk


@pytest.fixture
def fed(reference_landing):
    """The ship's engine, fed from the descent stage's tanks."""
    engine = reference_landing.elements["service_module"].engines["main"]
    return engine.model_copy(update={"crossfeed": "descent_stage"})


def test_the_other_element_pays(reference_landing, fed):
    """Usable propellant, and what a burn takes, are the descent stage's."""
    state = walk.on_pad(reference_landing)
    lander = reference_landing.elements["descent_stage"].engines["main"]
    there = state.ledger.usable("descent_stage", lander)
    assert state.ledger.usable("service_module", fed) == pytest.approx(there)
    after = state.ledger.after_burn("service_module", "main", fed, 280.0, 10.0)
    assert after.propellant("service_module") == state.ledger.propellant("service_module")
    assert state.ledger.propellant("descent_stage") - after.propellant(
        "descent_stage"
    ) == pytest.approx(280.0)
    assert after.starts == {("service_module", "main"): 1}


def test_what_it_holds_itself_is_then_elsewhere(reference_landing, fed):
    """Of the same propellants: in its own ratio, residuals left in."""
    state = walk.on_pad(reference_landing)
    found = crossfeed.elsewhere(state, "service_module", fed)
    main = reference_landing.elements["service_module"].engines["main"]
    own = state.ledger.usable("service_module", main)
    assert found["service_module"] == pytest.approx(own)
    assert "descent_stage" not in found
    assert "second_stage" not in found


def test_a_feed_that_was_left_behind_is_refused(reference_landing):
    """The descent stage stays on the Moon; the ascent stage's thrusters cannot draw from it."""
    thrusters = "elements.ascent_stage.engines.thrusters"
    fed = reference_landing.change(
        {
            f"{thrusters}.crossfeed": "descent_stage",
            f"{thrusters}.fuel": "MMH",
            f"{thrusters}.propellants": None,
            "elements.ascent_stage.tanks.thruster_fuel": None,
        }
    )
    fault = "ascent_stage draws propellant from descent_stage, which is not joined to it"
    assert any(fault in x.text and x.rank == 0 for x in mplan.fly(fed).findings)
