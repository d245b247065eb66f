"""Aborts of a landing by two engines in turn, where neither has enough alone."""

import numpy as np
import pytest

import mplan
from mplan.contingencies.ways_out import every
from mplan.contingencies.ways_out.at_the_moon import way_down
from mplan.contingencies.ways_out.burners import NOTHING
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.flight.record import Flight

SHARE = 0.7  # of the powered descent: the descent stage alone does not come back any more


def braking(flight: Flight) -> CabinPoint:
    burn = flight.burn_of("powered descent")
    cabin = next(x for x, n in burn.at_ignition.crew.items() if n and x in burn.craft)
    return CabinPoint(flight, cabin, burn.elapsed + SHARE * burn.duration)


@pytest.fixture(scope="module")
def in_turn(landing_plan):
    """The ways that the descent engine opens with another, called off late."""
    point = braking(landing_plan.flight)
    burn, descent = point.burning, point.passage.after.descent
    since = point.elapsed - burn.elapsed
    i = int(np.searchsorted(descent.track.t, since, side="right") - 1)
    braked = way_down._braked(point, burn, float(descent.track.mass[i]))
    first = next(iter(way_down._aborts(point, NOTHING, braked)))
    return first, list(way_down._in_turn(point, NOTHING, burn, descent, i, first))


def test_the_first_gives_all_it_has(in_turn):
    first, ways = in_turn
    assert ways
    for way in ways:
        one, two = way.burns[:2]
        assert (one.element, one.engine) == first.burner.key
        assert one.margin == pytest.approx(0.0, abs=1e-9)
        assert two.element != one.element
        assert two.elapsed > one.elapsed
        assert one.element not in way.craft


def test_the_second_needs_less_than_alone(landing_plan, in_turn):
    """What the descent engine has left is saved, but for the fall while the stages part."""
    _, ways = in_turn
    one, two = ways[0].burns[:2]
    alone = next(
        x
        for x in every.ways_out(braking(landing_plan.flight), "main engine lost")
        if x.burns and x.burns[0].element == two.element
    )
    saved = alone.burns[0].required - two.required
    assert 0.8 * one.required < saved < 1.2 * one.required


def test_a_short_ascent_stage_comes_back_by_both(landing_plan, reference_landing):
    """With too little in the ascent stage neither engine leads to the ship, and both do."""
    path = "elements.ascent_stage.tanks"
    short = reference_landing.change({f"{path}.MMH.load": "530 kg", f"{path}.NTO.load": "954 kg"})
    flight = mplan.fly(short, like=landing_plan).flight
    ways = every.ways_out(braking(flight), "called off")
    good = [x for x in ways if not x.closed]
    assert good
    assert all(", then " in x.name.removesuffix("then rendezvous") for x in good)
    assert len(good[0].burns) > 2
