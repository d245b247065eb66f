"""What control has to hold once an engine has stopped in the climb: masses, thrust, moments."""

from __future__ import annotations

import numpy as np
import pytest

import mplan
from mplan.contingencies.engine_out import climb_with_engine_out
from mplan.flight.controlling import conditions, engine_out
from mplan.flight.record import Flight
from mplan.physics.climb.launch_climb import LaunchClimb
from mplan.physics.climb.launch_vehicle import EngineOut
from mplan.vehicle.control import authority
from tests.conftest import MISSIONS

PAIR, CORE = "girths", "saddle"


@pytest.fixture(scope="module")
def boosted() -> Flight:
    """A core beside two boosters of four engines each."""
    eight = mplan.load(MISSIONS / "northern_landing.toml")
    for key, value in (("count", 8), ("thrust_sea_level", "2700 kN"), ("thrust_vacuum", "3000 kN")):
        eight = eight.change(f"elements.{PAIR}.engines.motor.{key}", value)
    return mplan.fly(eight, remedies=False).flight


def flown(boosted: Flight, after: float, name: str = PAIR) -> LaunchClimb:
    return climb_with_engine_out(boosted.end.climb, EngineOut(0, after, name))


def burn(boosted: Flight, after: float, name: str = PAIR) -> engine_out.BurnWithEngineOut:
    return engine_out.of_climb(boosted, EngineOut(0, after, name), flown(boosted, after, name))


def test_before_it_stops_all_is_as_planned(boosted):
    """To the last digit, but for the attitudes held: here the moment just before."""
    planned = next(x for x in boosted.passages if x.burn and x.burn.element == CORE)
    whole = conditions.of_record(boosted, planned.burn, planned.burn_event)
    one = burn(boosted, 90.0)
    assert one.lasts(PAIR) == whole.lasts(PAIR)
    before, as_planned = one.at("", 5.0), whole.at("", 5.0)
    assert before.lost is None
    assert before.uneven == 0.0
    assert [x.count for x in before.lit] == [x.count for x in as_planned.lit]
    assert before.properties.pitch == pytest.approx(as_planned.properties.pitch, rel=1e-6)


@pytest.mark.parametrize("after", [10.0, 60.0, 100.0])
def test_what_one_body_holds_more_is_what_is_dropped_with_it(boosted, after):
    """Two ways to the same kilograms: the tanks of the plan, and the climb's own account."""
    climb, one = flown(boosted, after), burn(boosted, after)
    gone = next(x for x in climb.falling if x.name == PAIR)
    empty = boosted.end.climb.vehicle.stages[0].boosters[0].dropped
    # The plan's ledger counts propellant burned on the pad evenly over the burn: some seconds of
    # one engine in a hundred.
    assert one.kept_beside(gone.t) == pytest.approx(gone.mass - empty, rel=0.03)


@pytest.mark.parametrize("name", [PAIR, ""])
def test_the_stack_weighs_what_was_flown(boosted, name):
    """From the failure on, before the drop and after it, to a thousandth."""
    climb, one = flown(boosted, 60.0, name), burn(boosted, 60.0, name)
    for t in (62.0, 80.0, 105.0, 150.0, 250.0):
        mass = float(np.interp(t, climb.track.t, climb.track.mass))
        assert one.at("", t).mass == pytest.approx(mass, rel=1e-3)


@pytest.mark.parametrize(("name", "counts"), [(PAIR, (4, 7)), ("", (3, 8))])
def test_the_others_give_the_thrust_that_was_flown(boosted, name, counts):
    """All at one share of what they are rated at, the stopped one counted at that share too."""
    climb, one = flown(boosted, 60.0, name), burn(boosted, 60.0, name)
    at = one.at("", 80.0)
    assert tuple(x.count for x in at.lit) == counts
    whole = sum(x.count * x.thrust for x in at.lit)
    assert whole == pytest.approx(float(np.interp(80.0, climb.track.t, climb.track.thrust)))
    element = name or CORE
    (other,) = (x for x in at.lit if x.element == element)
    assert at.lost.thrust == pytest.approx(other.thrust)


def test_a_moment_balance_by_hand(boosted):
    """About the centre of mass of the stack, with every thrust at its place across the axis.

    Seven engines of one pair and four of the core: those of a body at its axis, the one that has
    stopped taken from the far side of it. The centre of mass is off by what one body holds more.
    """
    at = burn(boosted, 60.0).at("", 100.0)
    elements = boosted.scenario.elements
    away = (elements[PAIR].diameter + elements[CORE].diameter) / 2.0
    radius = elements[PAIR].diameter / 4.0
    core, pair = (next(x for x in at.lit if x.element == name) for name in (CORE, PAIR))
    off = -at.uneven * away / at.mass  # towards the body with the stopped engine, on the minus side
    turning = 4 * core.thrust * (0.0 - off)
    turning += 4 * pair.thrust * (away - off)
    turning += 4 * pair.thrust * (-away - off) - pair.thrust * (-away - radius - off)
    found = {x.cause: x.pitch for x in authority.of(at).demands}
    both = found["one engine out"] + found["propellant left on one side"]
    assert at.uneven > 20e3
    assert both * at.properties.pitch == pytest.approx(turning, rel=1e-9)


def test_once_its_booster_is_gone_nothing_is_left_of_it(boosted):
    drop = next(x for x in flown(boosted, 60.0).falling if x.name == PAIR).t
    after = burn(boosted, 60.0).at("", drop + 1.0)
    assert after.lost is None
    assert after.uneven == 0.0
    assert [x.element for x in after.lit] == [CORE]


def test_a_stage_that_the_plan_does_not_light(boosted):
    climb = flown(boosted, 60.0)
    other = boosted.scenario.change("mission.name", "Other")
    nothing = type("Nothing", (), {"passages": (), "scenario": other})()
    with pytest.raises(LookupError, match="does not light saddle"):
        engine_out.of_climb(nothing, EngineOut(0, 60.0), climb)
