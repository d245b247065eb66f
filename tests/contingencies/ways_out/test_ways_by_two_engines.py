"""Home by two engines in turn, where neither has enough alone."""

from __future__ import annotations

from dataclasses import replace
from math import exp, log, sqrt

import pytest

from mplan.contingencies.ways_out.at_the_moon import home_from_orbit, in_parts, leaving, now
from mplan.contingencies.ways_out.at_the_moon import in_turn as in_turn_module
from mplan.contingencies.ways_out.burners import (
    Burner,
    LostEngines,
    burned,
    burners,
    unqualified,
)
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.contingencies.ways_out.way_out import WayOut
from mplan.flight.record import Flight
from mplan.flight.state import State
from mplan.physics import constants as c
from mplan.physics.vectors import length
from mplan.vehicle.evolved import evolved

SHIPS_OWN = LostEngines(frozenset({("service_module", "main"), ("service_module", "thrusters")}))
DOWN, UP = "descent_stage", "ascent_stage"


def joined(flight: Flight) -> CabinPoint:
    """In lunar orbit with the lander on the ship's nose."""
    undocks = next(i for i, x in enumerate(flight.passages) if x.moment.kind == "undock")
    return CabinPoint(flight, "crew_module", flight.passages[undocks - 1].before.elapsed + 60.0)


def main_of(state: State, point: CabinPoint, element: str) -> Burner:
    return next(x for x in burners(state, point.craft) if x.element == element)


def without(flight: Flight, kept: float, starts: int = 0) -> leaving.Leaving:
    """Without the ship's engines, and the lander's descent stage with about `kept` [m/s].

    Its engine has been started some times more than in the plan.
    """
    point = joined(flight)
    state = now.state_at(point)
    descent = main_of(state, point, DOWN)
    mass = state.mass(point.craft)
    drawn = descent.usable(state) - mass * (1.0 - exp(-kept / (descent.isp * c.G0)))
    ledger = burned(state, point.craft, descent, drawn, 0.0).ledger
    for _ in range(starts):
        ledger = ledger.after_burn(*descent.key, descent.rated(state), 0.0, 0.0)
    state = evolved(state, ledger=ledger)
    return leaving.Leaving(
        flight, state, point.craft, point.before.orbit, point.before, point.elapsed, SHIPS_OWN
    )


def in_turn(away: leaving.Leaving) -> list[WayOut]:
    return [x for x in home_from_orbit.ways_home(away) if ", then " in x.name]


@pytest.fixture(scope="module")
def away(landing_plan) -> leaving.Leaving:
    return without(landing_plan.flight, 600.0)


@pytest.fixture(scope="module")
def way(away) -> WayOut:
    (found,) = in_turn(away)
    return found


def test_two_engines_lead_home_where_neither_does(away, way):
    """Descent stage and then ascent stage, each with what its own tanks hold."""
    alone = [x for x in home_from_orbit.ways_home(away) if ", then " not in x.name]
    assert alone
    assert all(x.closed for x in alone)
    assert not way.closed
    assert [x.element for x in way.burns] == [DOWN, UP]
    assert all(x.margin >= 0.0 for x in way.burns)
    least = min(x.required for x in alone)
    assert max(x.available for x in way.burns) < least < way.required < 1.1 * least
    assert way.home > way.burns[1].elapsed > way.burns[0].elapsed


def test_what_the_first_needed_is_dropped_before_the_second_burns(away, way):
    """The ascent stage pushes the ship alone; its velocity is that of its own tanks on that."""
    assert DOWN not in way.craft
    point = joined(away.flight)
    ascent = main_of(away.state, point, UP)
    mass = sum(away.state.mass((x,)) for x in away.craft if x != DOWN)
    there = ascent.isp * c.G0 * -log(1.0 - ascent.usable(away.state) / mass)
    assert way.burns[1].available == pytest.approx(there, rel=0.01)  # less what is used meanwhile


def test_the_first_raises_the_apolune_as_far_as_its_velocity_does(way):
    """By the energy at the place of the burn, as vis-viva has it, less what its arc loses."""
    low, then = (x.orbit for x in way.orbits)
    speed = sqrt(c.MU_MOON / length(low.r)) + way.burns[0].required
    a = 1.0 / (2.0 / length(low.r) - speed**2 / c.MU_MOON)
    assert then.a == pytest.approx(a, rel=0.05)
    assert then.a < a  # an arc of some minutes loses a little
    assert then.a * (1.0 + then.e) < 1.05 * in_parts.HIGH


def two_leaving(flight: Flight) -> leaving.Leaving:
    """Without the ship's main engine, so that its thrusters may be the first or the second."""
    away = without(flight, 860.0)
    lost = LostEngines(frozenset({("service_module", "main")}))
    return replace(away, lost=lost)


def test_pairs_that_are_left_out_would_not_be_home_sooner(landing_plan, monkeypatch):
    """Flown all the same they change neither the pair that is told nor when it is home."""
    away = two_leaving(landing_plan.flight)

    def by(away: leaving.Leaving, burner: Burner) -> WayOut:
        flown.append(burner.key)
        return home_from_orbit._by(away, burner)

    flown: list[tuple[str, str]] = []
    (soonest,) = in_turn_module.in_turn(away, by)
    fewer = len(flown)
    monkeypatch.setattr(in_turn_module, "not_home_before", lambda away, there: float("-inf"))
    monkeypatch.setattr(in_turn_module, "_most_raised", lambda orbit: float("inf"))
    flown.clear()
    (of_all,) = in_turn_module.in_turn(away, by)
    assert fewer < len(flown)
    assert (soonest.name, soonest.home) == (of_all.name, of_all.home)
    assert not soonest.closed


def test_too_little_together_is_not_flown(landing_plan):
    """Of 300 and 380 m/s nothing is made that takes 800."""
    assert in_turn(without(landing_plan.flight, 300.0)) == []


def test_each_engine_has_its_own_starts(landing_plan):
    """A first engine that has been started too often makes no burn."""
    rated = landing_plan.scenario.elements[DOWN].engines["main"].starts
    assert in_turn(without(landing_plan.flight, 600.0, rated)) == []


def test_a_rating_that_is_used_up_in_parts_is_not_exceeded(landing_plan):
    """However the velocity that it allows is cut up; a second more is refused."""
    point = joined(landing_plan.flight)
    state = now.state_at(point)
    descent = main_of(state, point, DOWN)
    allowed = descent.within_rating(state, point.craft)
    sums = set()
    for share in range(1, 100):
        engine = in_parts.WeakEngine(descent.thrust, descent.isp, state.mass(point.craft), allowed)
        seconds = 0.0
        for part in (share / 300.0, 1.0 / 3.0, 1.0):
            spent = min(part * allowed, engine.there)
            seconds += engine.lasts(spent)
            engine = engine.after(spent)
        sums.add(seconds)
        assert not unqualified(state, descent, seconds, 1)
    assert len(sums) > 1, "else they come out alike, and nothing could be refused by rounding"
    assert "qualified for" in unqualified(state, descent, max(sums) + 1.0, 1)
