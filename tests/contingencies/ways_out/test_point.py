"""A cabin's place in the mission: its stretch, its burn that is on, the one that comes next."""

from __future__ import annotations

import pytest

from mplan.contingencies.ways_out.point import CabinPoint
from mplan.flight.record import Flight

LANDING = (
    ("translunar injection", "crew module", -1.0, "Earth orbit", ""),
    ("translunar injection", "crew module", 1.0, "to the Moon", "translunar injection"),
    ("lunar-orbit insertion", "crew module", -1.0, "to the Moon", ""),
    ("lunar-orbit insertion", "crew module", 1.0, "to the Moon", "lunar-orbit insertion"),
    ("powered descent", "ascent stage", -1.0, "way down", ""),
    ("powered descent", "ascent stage", 1.0, "way down", "powered descent"),
    ("powered descent", "crew module", 1.0, "lunar orbit", ""),
    ("lunar ascent", "ascent stage", -1.0, "on the Moon", ""),
    ("lunar ascent", "ascent stage", 1.0, "way up", "lunar ascent"),
    ("trans-Earth injection", "crew module", -1.0, "lunar orbit", ""),
    ("trans-Earth injection", "crew module", 1.0, "way home", "trans-Earth injection"),
)


def cabin(flight: Flight, role: str) -> str:
    """Return the element that people are in, by its role."""
    found = (x for x, each in flight.scenario.elements.items() if each.role == role)
    return next(found)


@pytest.mark.parametrize(("leg", "role", "later", "stretch", "burning"), LANDING)
def test_stretch_about_ignitions(two_launches, leg, role, later, stretch, burning):
    """A burn is on from its ignition, though its event may begin half a burn later."""
    burn = two_launches.burn_of(leg)
    point = CabinPoint(two_launches, cabin(two_launches, role), burn.elapsed + later)
    assert point.stretch == stretch
    assert (point.burning.leg if point.burning else "") == burning


def test_stretch_before_and_after(two_launches):
    """The pad before lift-off, the climb, an entry at the end, and nothing after the splash."""
    ship = cabin(two_launches, "crew module")
    assert CabinPoint(two_launches, ship, 0.0).stretch == "pad"
    assert CabinPoint(two_launches, ship, 100.0).stretch == "climb"
    assert CabinPoint(two_launches, ship, two_launches.duration - 10.0).stretch == "entry"
    with pytest.raises(LookupError, match="nothing is flown"):
        _ = CabinPoint(two_launches, ship, two_launches.duration).passage


def test_descent_coast_is_the_way_down(two_launches):
    """Right at the end of a burn its successor is the next one: edges are sums of times."""
    burn = two_launches.burn_of("descent-orbit insertion")
    at_end = next(x.after.elapsed for x in two_launches.passages if x.burn is burn)
    point = CabinPoint(two_launches, cabin(two_launches, "ascent stage"), at_end)
    assert point.stretch == "way down"
    assert point.next_burn.leg == "powered descent"


def test_a_flyby_turns_for_home_at_the_moon(flyby_plan):
    """No burn leads home: the way home begins at perilune."""
    flight = flyby_plan.flight
    perilune = flight.end.outbound.perilune.t - flight.end.lift_off
    ship = cabin(flight, "crew module")
    assert CabinPoint(flight, ship, perilune - 60.0).stretch == "to the Moon"
    assert CabinPoint(flight, ship, perilune + 60.0).stretch == "way home"


def test_a_lander_that_is_away_is_on_its_way(two_launches):
    """Until it is docked again a lander is on the way up; then it goes round with the ship."""
    lander = cabin(two_launches, "ascent stage")
    docking = [x for x in two_launches.passages if x.event.do == "dock"][-1]
    assert CabinPoint(two_launches, lander, docking.before.elapsed + 60.0).stretch == "way up"
    assert CabinPoint(two_launches, lander, docking.after.elapsed + 60.0).stretch == "lunar orbit"
    undocking = next(x for x in two_launches.passages if x.event.do == "undock")
    assert CabinPoint(two_launches, lander, undocking.after.elapsed + 1.0).stretch == "way down"
