"""Which leg an event flies, and whether one lies among the events ahead."""

from __future__ import annotations

from mplan.scenario.events import burns_of, has_burn, leg_of


def test_a_leg_is_that_of_a_burn_or_a_coast(reference_landing):
    """A burn and a coast each name their leg; a landing and a stay have none."""
    events = reference_landing.events
    for event in events:
        assert leg_of(event) == (event.leg if event.do in ("burn", "coast") else None)
    assert {"climb", "translunar coast"} <= {leg_of(x) for x in events}


def test_only_burns_count_as_burns(reference_landing):
    """The translunar coast has a leg of its own, but nothing burns for it."""
    events = reference_landing.events
    assert has_burn(events, "powered descent")
    assert not has_burn(events, "translunar coast")
    assert not has_burn(events, "lunar-orbit rendezvous")


def test_the_burns_of_a_leg_keep_their_order(reference_landing):
    """Each stage of the climb burns once, the lowest first."""
    climbs = list(burns_of(reference_landing.events, "climb"))
    places = [reference_landing.events.index(x) for x in climbs]
    assert len(climbs) > 1
    assert places == sorted(places)
    assert {x.leg for x in climbs} == {"climb"}
