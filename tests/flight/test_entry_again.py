"""Only the entry flown again gives what the whole mission flown again gives."""

from __future__ import annotations

import pytest

import mplan
from mplan import checks
from mplan.flight.entry_again import fly_entry_again

SHELL = "elements.crew_module.aeroshell"
CHUTES = "elements.crew_module.parachutes"


@pytest.mark.parametrize(
    ("key", "value"),
    [
        (f"{SHELL}.lift_to_drag", 0.2),
        (f"{SHELL}.acceleration_limit", 5.0),
        (f"{CHUTES}.mains.count", 2),
        (SHELL, None),
    ],
)
def test_it_is_the_flight_of_the_scenario(landing_plan, key, value):
    """Timeline, stays, splash and findings are the same, to the float."""
    scenario = landing_plan.scenario.change(key, value)
    whole, part = mplan.fly(scenario), fly_entry_again(landing_plan.flight, scenario)
    assert part.splash == whole.flight.splash
    assert part.moments == whole.flight.moments
    assert [x.duration for x in part.stretches] == pytest.approx(
        [x.duration for x in whole.flight.stretches], abs=1e-6
    )
    for mine, theirs in zip(part.passages, whole.flight.passages, strict=True):
        assert mine.event == theirs.event
        for each in (mine.before, mine.after):
            assert each.scenario == scenario
        assert mine.after.ledger == theirs.after.ledger
        assert mine.after.craft == theirs.after.craft
    assert part.burns == whole.flight.burns
    assert part.end.elapsed == pytest.approx(whole.flight.end.elapsed, abs=1e-6)
    assert checks.of(part) == whole.findings


def test_without_an_entry_there_is_nothing_to_fly_again(landing_plan):
    """A flight whose crew module has no aeroshell is refused."""
    bare = mplan.fly(landing_plan.scenario.change(SHELL, None))
    with pytest.raises(ValueError, match="flew no entry"):
        fly_entry_again(bare.flight, landing_plan.scenario)
