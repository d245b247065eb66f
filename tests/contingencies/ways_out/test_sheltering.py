"""A cabin leaks: its crew in another one of the craft while that lasts, in suits for the rest."""

from __future__ import annotations

from dataclasses import replace

import pytest

import mplan
from mplan.contingencies.ways_out import every
from mplan.contingencies.ways_out.looks import look, ways_at
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.contingencies.ways_out.sheltering import GO_OVER, SLACK
from mplan.contingencies.ways_out.way_out import WayBurn, WayOut
from mplan.flight.record import Flight
from mplan.physics.constants import HOUR
from mplan.vehicle.living.flows import Span, flows
from tests.conftest import MISSIONS

SHIP, LANDER = "crew_module", "ascent_stage"
CALLED = 30.0 * HOUR
LONG = 60.0 * HOUR  # s to the end of the way that is made up


@pytest.fixture
def lasting(monkeypatch):
    """Let one way lead home, `LONG` after a failure, with all that is joined or a part of it."""

    def install(kept: tuple[str, ...] = (), burns: float | None = None) -> None:
        def ways(point, failure):
            burn = () if burns is None else (WayBurn("b", "x", "y", CALLED + burns, 1.0, 2.0),)
            yield WayOut("on", point.elapsed, kept or point.craft, burn, home=point.elapsed + LONG)

        monkeypatch.setattr(every, "BY_STRETCH", dict.fromkeys(every.BY_STRETCH, ways))
        monkeypatch.setattr(every, "WITH_SHELTER", {})
        monkeypatch.setattr(every, "IN_LESS_TIME", {})

    return install


def leaking(flight: Flight, cabin: str = SHIP, called: float = CALLED) -> WayOut:
    return next(iter(ways_at(CabinPoint(flight, cabin, called), "cabin leaks")))


def with_suits(flight: Flight, hours: float) -> Flight:
    scenario = flight.scenario.change("aborts.suited_time", f"{hours} h")
    return replace(flight, scenario=scenario)


def test_the_lander_shelters_the_crew_as_long_as_its_canisters_do(landing_plan, lasting):
    """With food and water enough. By hand: each takes a person's breath for its rated time.

    The crew are in it from the leak on, and in suits from then to the end.
    """
    scenario = landing_plan.scenario
    for supply in ("packed_food", "potable_water"):
        scenario = scenario.change(f"elements.ascent_stage.supplies.{supply}", "30 kg")
    flight = mplan.fly(scenario, like=landing_plan).flight
    lasting()
    way = leaking(flight)
    canisters = flight.scenario.elements[LANDER].supplies.lioh_canisters
    at_rest = canisters.count * canisters.person_time / 3.0
    assert flight.scenario.mission.crew == 3
    assert way.shelter.cabin == LANDER
    assert way.shelter.until - CALLED == pytest.approx(at_rest, abs=2.0 * SLACK)
    assert way.suited == pytest.approx(CALLED + LONG - way.shelter.until)
    assert "3 in ascent stage, which seats 2, for 41.0 h, as long as its CO2 removal" in way.note


def test_it_shelters_them_as_long_as_its_food_does(landing_plan, lasting):
    """By hand: as it is stowed, at what the crew eat a day."""
    flight = landing_plan.flight
    lasting()
    way, day = leaking(flight), flight.scenario.crew_day
    stowed = flight.scenario.elements[LANDER].supplies.packed_food
    fed = flows(flight.scenario.elements[LANDER].supplies, day, Span(3, 86400.0, 86400.0))
    lasts = stowed / fed.taken["packed_food"] * 24.0 * HOUR
    assert way.shelter.until - CALLED == pytest.approx(lasts, abs=2.0 * SLACK)
    assert "as long as its packed food lasts" in way.note


def test_suits_for_the_rest_alone_decide(landing_plan, lasting):
    """Of the same way home: suits of a few hours less than all of it serve, those of two do not."""
    lasting()
    flight = landing_plan.flight
    worn = leaking(flight).suited
    assert GO_OVER < worn < LONG
    assert not leaking(with_suits(flight, worn / HOUR + 0.1)).closed
    short = leaking(with_suits(flight, worn / HOUR - 0.1))
    assert short.closed.startswith(f"{worn / HOUR:.1f} h in suits")


def test_a_lander_that_is_dropped_shelters_until_then(landing_plan, lasting):
    """Half an hour before the burn for which it goes; for less than an hour nobody moves."""
    flight = landing_plan.flight
    ship = ("service_module", SHIP)
    lasting(ship, burns=5.0 * HOUR)
    way = leaking(flight)
    assert way.shelter.until - CALLED == pytest.approx(4.5 * HOUR)
    assert way.suited == pytest.approx(LONG - 4.5 * HOUR)
    lasting(ship, burns=1.4 * HOUR)
    assert leaking(flight).shelter is None
    assert leaking(flight).suited == pytest.approx(LONG)


def test_near_the_entry_they_are_back(landing_plan, lasting):
    """Of a way shorter than the lander lasts the last two hours are in suits."""
    flight = landing_plan.flight
    lasting()
    late = CabinPoint(flight, SHIP, CALLED)
    (way,) = every.ways_out(late, "cabin leaks")
    lasts = leaking(flight).shelter.until - CALLED
    assert lasts > 10.0 * HOUR

    def soon(point, failure):
        yield replace(way, home=CALLED + 10.0 * HOUR)

    every.BY_STRETCH["to the Moon"] = soon  # as put there by the fixture, and taken away with it
    assert leaking(flight).suited == pytest.approx(GO_OVER)


def test_who_is_in_a_lander_that_leaks_comes_home_in_the_ship(landing_plan, lasting):
    """Docked still: no suits, and what is left at the end as if nothing had failed there."""
    flight = with_suits(landing_plan.flight, 1.0)
    docked = next(x for x in flight.passages if x.before.crew.get(LANDER) and x.before.moon)
    assert SHIP in docked.before.joined(LANDER)
    lasting()
    called = docked.before.elapsed + 60.0
    way = leaking(flight, LANDER, called)
    sound = next(iter(ways_at(CabinPoint(flight, LANDER, called), "called off")))
    assert not way.closed
    assert (way.shelter.cabin, way.suited) == (SHIP, 0.0)
    assert way.left.days == pytest.approx(sound.left.days, abs=1e-3)


def test_the_ships_own_cabin_has_to_last_to_the_end(landing_plan, lasting, monkeypatch):
    """Nobody goes back into a lander that leaks: what lacks in the ship closes the way."""
    monkeypatch.setitem(globals(), "LONG", 60.0 * 24.0 * HOUR)
    flight = landing_plan.flight
    docked = next(x for x in flight.passages if x.before.crew.get(LANDER) and x.before.moon)
    lasting()
    way = leaking(flight, LANDER, docked.before.elapsed + 60.0)
    assert way.shelter.until == way.home
    assert way.closed.endswith("d before its end")


def test_what_is_left_of_the_suits_is_what_a_look_keeps(landing_plan, lasting):
    flight = with_suits(landing_plan.flight, 100.0)
    lasting()
    found = look(flight, SHIP, CALLED, ("cabin leaks",)).seen["cabin leaks"]
    assert found.spare.suits == pytest.approx(100.0 * HOUR - leaking(flight).suited)


def test_the_ships_own_stores_are_spared_meanwhile(landing_plan, lasting):
    """Oxygen and food of the ship last longer by what its crew do not use there."""
    flight = landing_plan.flight
    lasting()
    sheltered = leaking(flight)
    lasting(("service_module", SHIP), burns=HOUR)
    suited = leaking(flight)
    assert suited.shelter is None
    assert sheltered.left.energy > suited.left.energy
    assert sheltered.left.days >= suited.left.days


def test_the_upper_stage_is_kept_where_suits_are_too_short_without_it():
    """From lunar orbit, once a cabin leaks: it shelters them, and the burn pushes it too.

    What it weighs more is what the tanks give less.
    """
    flight = mplan.fly(mplan.load(MISSIONS / "limb_landing.toml")).flight
    ship, lander = "cold_frame", "hoe"
    undocks = next(i for i, x in enumerate(flight.passages) if x.moment.kind == "undock")
    called = flight.passages[undocks - 1].before.elapsed + 60.0
    ways = {x.name: x for x in ways_at(CabinPoint(flight, ship, called), "cabin leaks")}
    light = ways["return to Earth by barrow, main"]
    kept = ways["return to Earth by barrow, main, hoe kept"]
    assert not kept.closed
    assert lander in kept.craft
    assert lander not in light.craft
    assert kept.shelter.cabin == lander
    assert kept.suited < light.suited
    assert kept.burns[0].available < light.burns[0].available
    assert kept.home - kept.suited == pytest.approx(kept.shelter.until)
    short = with_suits(flight, (kept.suited + light.suited) / 2.0 / HOUR)
    again = {x.name: x for x in ways_at(CabinPoint(short, ship, called), "cabin leaks")}
    assert again[light.name].closed
    assert not again[kept.name].closed
    others = ways_at(CabinPoint(short, ship, called), "called off")
    assert not [x for x in others if x.name.endswith("kept")]


def test_turned_back_with_the_lander_where_suits_are_too_short_without_it(landing_plan):
    """On the way to the Moon: all that is joined, by what the ship's engine gives that."""
    flight = with_suits(landing_plan.flight, 25.0)
    ways = ways_at(CabinPoint(flight, SHIP, CALLED), "cabin leaks")
    kept = next(x for x in ways if x.name == "direct return by service module, main, all kept")
    light = next(x for x in ways if x.name == "direct return by service module, main")
    assert light.closed
    assert "in suits" in light.closed
    assert not kept.closed
    assert kept.suited < 25.0 * HOUR < light.suited
    assert kept.home > light.home
    assert kept.burns[0].available < light.burns[0].available
