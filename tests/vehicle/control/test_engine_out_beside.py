"""A booster whose engine has failed: moments about the axis and of what it holds too much."""

from __future__ import annotations

from dataclasses import replace

import pytest

from mplan.vehicle.control import authority
from mplan.vehicle.control.condition import Lit, outermost, radius
from tests.vehicle.control.conftest import element, engine

ONE = 100e3  # N, of each engine


@pytest.fixture
def boosted(condition):
    """The ship, 4 m wide, with four engines; a pair beside it, 2 m wide, with four engines each."""
    at = condition("main", main=engine(count=4, gimbal=0.1))
    pair = element(engines={"lift": engine(count=8)}, diameter=2.0, beside="ship", bodies=2)
    at.scenario.elements["pair"] = pair
    lit = (*at.lit, Lit("pair", "lift", 8, ONE))
    return replace(at, craft=("ship", "pair"), lit=lit, feet={"ship": 0.0, "pair": 0.0})


def demanded(at) -> dict:
    return {each.cause: each for each in authority.of(at).demands}


def test_the_outermost_engine_is_on_the_far_side_of_its_body(boosted):
    """Three metres to the axis of the pair, a quarter of its width further to the engine."""
    core, pair = boosted.lit
    assert outermost(boosted, core) == radius(boosted, core) == 1.0
    assert radius(boosted, pair) == 3.0
    assert outermost(boosted, pair) == 3.5


def test_it_is_the_engine_whose_loss_turns_the_craft_most(boosted):
    """That of a booster, 3.5 m out, though those of the core are as strong."""
    at = replace(boosted.engine_out(), lengths={"ship": 10.0, "pair": 8.0})
    assert at.lost.element == "pair"
    assert [x.count for x in at.lit] == [4, 7]
    assert demanded(at)["one engine out"].pitch == pytest.approx(ONE * 3.5 / 200e3)
    assert "propellant left on one side" not in demanded(at)


def test_what_one_body_holds_more_turns_the_whole_thrust(boosted):
    """A tonne of twenty, three metres out: the centre of mass 15 cm off, eleven engines' thrust."""
    out = replace(boosted.engine_out(), lengths={"ship": 10.0, "pair": 8.0}, uneven=1e3)
    assert demanded(out)["propellant left on one side"].pitch == pytest.approx(
        11 * ONE * 0.15 / 200e3
    )


def test_one_engine_on_each_body_is_on_its_axis(boosted):
    boosted.scenario.elements["pair"].engines["lift"].count = 2
    assert outermost(boosted, Lit("pair", "lift", 2, ONE)) == 3.0
