"""On the way to the Moon: home by two engines in turn, where neither leads there alone."""

from __future__ import annotations

from dataclasses import replace
from math import exp, radians

import numpy as np
import pytest

import mplan
from mplan.contingencies.ways_out.burners import Burner, LostEngines, burned, burners, lost_at
from mplan.contingencies.ways_out.on_the_way_home import arc_home, cut_short, way_home
from mplan.contingencies.ways_out.outbound import to_the_moon
from mplan.contingencies.ways_out.outbound.on_the_way import INJECTION, OnTheWay, on_the_way
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.contingencies.ways_out.way_out import WayOut
from mplan.flight.record import Flight
from mplan.physics import constants as c
from mplan.physics.arcs import nbody
from mplan.physics.arcs.homeward import flight_path_angle
from mplan.vehicle.evolved import evolved
from tests.conftest import MISSIONS

OTHER = nbody.back_ends()[-1]
DOWN, UP, SHIP, HOME = "cultivator", "hoe", "barrow", "cold_frame"  # of the limb landing
SHIPS_OWN = frozenset({(SHIP, "main"), (SHIP, "thrusters"), (HOME, "thrusters")})


@pytest.fixture(scope="module")
def flight() -> Flight:
    """A mission whose arc to the Moon needs a good deal more than a trim to come home."""
    return mplan.fly(mplan.load(MISSIONS / "limb_landing.toml")).flight


def away(flight: Flight, kept: dict[str, float], lost: frozenset, hours: float = 30.0) -> OnTheWay:
    """Some hours after injection, main engines of elements with about so much left [m/s]."""
    burn = flight.burn_of(INJECTION)
    elapsed = burn.elapsed + burn.duration + hours * c.HOUR
    point = CabinPoint(flight, HOME, elapsed)
    way = on_the_way(point, LostEngines(lost))
    state = way.state
    for element, velocity in kept.items():
        engine = main_of(way, element)
        mass = state.mass(way.craft)
        drawn = engine.usable(state) - mass * (1.0 - exp(-velocity / (engine.isp * c.G0)))
        ledger = burned(state, way.craft, engine, drawn, 0.0).ledger
        state = evolved(state, ledger=ledger)
    return replace(way, state=state)


def main_of(way: OnTheWay, element: str) -> Burner:
    return next(
        x
        for x in burners(way.state, way.craft)
        if x.element == element and x.rated(way.state).purpose == "main"
    )


def found(way: OnTheWay) -> list[WayOut]:
    return list(to_the_moon._coasting(way))


def in_turn(ways: list[WayOut]) -> list[WayOut]:
    return [x for x in ways if ", then " in x.name]


@pytest.fixture(scope="module")
def short(flight) -> OnTheWay:
    """With 40 m/s in each stage of the lander, where the arc home takes some 70."""
    return away(flight, {DOWN: 40.0, UP: 40.0}, SHIPS_OWN)


@pytest.fixture(scope="module")
def way(short) -> WayOut:
    (one,) = in_turn(found(short))
    return one


def test_two_lead_home_where_neither_does(short, way):
    alone = [x for x in found(short) if ", then " not in x.name]
    assert alone
    assert all(x.closed for x in alone)
    assert not way.closed
    assert len(way.burns) == 2
    assert {x.element for x in way.burns} == {DOWN, UP}
    assert all(x.margin >= 0.0 for x in way.burns)
    least = min(x.required for x in alone if x.burns)
    assert max(x.available for x in way.burns) < least
    # The second burn is half an hour later, of days to the Moon: what is left to mend has grown.
    assert way.required == pytest.approx(least, rel=0.02)
    assert way.called == short.called < way.burns[0].elapsed < way.burns[1].elapsed < way.home


def test_it_ends_where_its_last_arc_leads(short, way):
    """Flown again by the other integrator: to the entry it was aimed for."""
    last = way.arcs[-1]
    end = nbody.fly_arc(
        last.r, last.v, last.begin, last.end - last.begin + c.DAY, "earth", back_end=OTHER
    )
    assert end.stop == "entry interface"
    assert flight_path_angle(end.r, end.v) == pytest.approx(short.entry_angle, abs=radians(0.2))


def test_the_first_burn_changes_the_velocity_by_what_it_takes(way):
    """Between the coasts before and after it: that of its tanks, far from both bodies."""
    before, after = way.arcs[0], way.arcs[1]
    here = nbody.fly_arc(before.r, before.v, before.begin, after.begin - before.begin)
    assert float(np.linalg.norm(after.v - here.v)) == pytest.approx(way.burns[0].required, rel=0.01)


def test_what_one_of_them_needed_is_not_carried_on(way):
    """The lower stage of the lander burns first and is let go before the upper one burns."""
    if way.burns[0].element == DOWN:
        assert DOWN not in way.craft
    assert {SHIP, HOME} <= set(way.craft)


def test_too_little_in_both_is_no_way(flight):
    assert [
        x for x in in_turn(found(away(flight, {DOWN: 20.0, UP: 20.0}, SHIPS_OWN))) if not x.closed
    ] == []


def test_one_that_leads_home_alone_is_enough(flight):
    """No pairs are flown then."""
    assert in_turn(found(away(flight, {DOWN: 40.0, UP: 150.0}, SHIPS_OWN))) == []


def test_one_that_has_been_started_too_often_is_not_first(flight):
    """What is left of its starts counts."""
    spent = away(flight, {DOWN: 40.0, UP: 40.0}, SHIPS_OWN)
    ledger = spent.state.ledger
    for name in (DOWN, UP):
        engine = main_of(spent, name)
        for _ in range(engine.rated(spent.state).starts):
            ledger = ledger.after_burn(*engine.key, engine.rated(spent.state), 0.0, 0.0)
    tired = replace(spent, state=evolved(spent.state, ledger=ledger))
    assert [x for x in in_turn(found(tired)) if not x.closed] == []


@pytest.fixture
def thrusters_short(landing_plan, monkeypatch):
    """The ship on its way home with so much left [m/s] in the thrusters of elements."""

    def install(kept: dict[str, float], share: float | None = None) -> CabinPoint:
        flight = landing_plan.flight
        burn = flight.burn_of("trans-Earth injection")
        later = burn.duration + c.HOUR if share is None else share * burn.duration
        point = CabinPoint(flight, "crew_module", burn.elapsed + later)

        def less(state):
            craft = state.joined("crew_module")
            for element, velocity in kept.items():
                engine = next(x for x in burners(state, craft) if x.key == (element, "thrusters"))
                there = state.mass(craft) * (1.0 - exp(-velocity / (engine.isp * c.G0)))
                drawn = engine.usable(state) - there
                ledger = burned(state, craft, engine, drawn, 0.0).ledger
                state = evolved(state, ledger=ledger)
            return state

        cut, now = cut_short.drawn, way_home.state_at
        monkeypatch.setattr(cut_short, "drawn", lambda *asked: less(cut(*asked)))
        monkeypatch.setattr(way_home, "state_at", lambda asked: less(now(asked)))
        return point

    return install


def test_a_return_burn_cut_short_is_mended_by_two(thrusters_short):
    """Neither set of thrusters has the 50 m/s that it takes; one after the other they do."""
    point = thrusters_short({"service_module": 40.0}, 0.97)
    lost = lost_at(point, "main engine lost")
    ways = list(cut_short.ways(point, point.burning, lost))
    (both,) = in_turn(ways)
    assert all(x.closed for x in ways if x is not both)
    assert not both.closed
    least = min(x.required for x in ways if x is not both)
    assert max(x.available for x in both.burns) < least
    # The second burn is half an hour later, and near the Moon that is a good deal further out.
    assert both.required == pytest.approx(least, rel=0.1)
    assert all(x.margin >= 0.0 for x in both.burns)


@pytest.mark.parametrize(("share", "burns"), [(0.6, 2), (0.4, 0)])
def test_a_correction_on_the_way_home_is_made_by_two(thrusters_short, landing_plan, share, burns):
    """As large as planned, as much of it by the first as that has; no more than there is."""
    planned = landing_plan.flight.burn_of("homeward correction").required
    point = thrusters_short(dict.fromkeys(("service_module", "crew_module"), share * planned))
    lost = LostEngines(frozenset({("service_module", "main")}))
    ways = list(way_home._home(point, lost, *asked(point)))
    assert all(x.closed for x in ways if ", then " not in x.name)
    both = [x.burns for x in in_turn(ways)]
    assert [len(x) for x in both] == ([burns] if burns else [])
    for first, second in both:
        # The other tanks are drained after these, which leaves the craft lighter by some per cent.
        assert first.required == first.available == pytest.approx(share * planned, rel=0.1)
        assert first.required + second.required == pytest.approx(planned)


def asked(point: CabinPoint) -> tuple:
    """The arc home, the state, and the craft of a point on it."""
    state = way_home.state_at(point)
    return arc_home.arc_home(point.flight), state, state.joined(point.cabin)


def test_turned_back_by_two_where_the_moon_leads_nowhere(flight):
    """Soon after injection, towards Earth: soonest home by both, sooner than by the Moon."""
    early = away(flight, {DOWN: 200.0, UP: 200.0}, SHIPS_OWN, hours=2.0)
    alone = [x for x in found(early) if ", then " not in x.name and not x.closed]
    pairs = list(to_the_moon.in_turn(early, [next(iter(to_the_moon._before(early)))]))
    assert len(pairs) == 1
    assert pairs[0].name.startswith("direct return by ")
    assert not pairs[0].closed
    direct = [x.home for x in alone if x.name.startswith("direct")]
    assert not direct or pairs[0].home < min(direct)
