"""How long ways out between Earth and the Moon take, and the searches behind them."""

from __future__ import annotations

from itertools import count

import pytest

from mplan.contingencies.ways_out import every
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.physics import compiling
from mplan.physics import constants as c
from mplan.physics.arcs import nbody
from mplan.physics.circumlunar.direct_return import soonest_return
from mplan.physics.circumlunar.flyby_return import return_around
from mplan.physics.circumlunar.hastened_return import hastened_return


@pytest.fixture(scope="module", autouse=True)
def compiled():
    """As in a panel or a study, where entries are compiled beside the work."""
    compiling.load()
    yield
    compiling.forget()


@pytest.fixture
def fresh(landing_plan):
    """Return starts of arcs 20 h after the injection, each a little later: none is remembered."""
    out, turn = landing_plan.flight.end.outbound, count()

    def start():
        after = 20.0 * c.HOUR + next(turn)
        there = nbody.fly_arc(out.r, out.v, out.injection, after)
        return nbody.ArcStart(there.r, there.v, there.t, 0.0)

    return start


@pytest.mark.parametrize("hours", [4.0, 30.0, 60.0])
def test_every_way_out_at_one_time(benchmark, landing_plan, hours):
    """All engines, all ways, their entries flown: what a panel asks for with one failure."""
    turn = count()

    def ask():
        point = CabinPoint(landing_plan.flight, "crew_module", hours * c.HOUR + next(turn))
        return every.ways_out(point, "called off")

    assert any(not way.closed for way in benchmark(ask))


def test_a_direct_return(benchmark, fresh, landing_plan):
    angle = landing_plan.scenario.orbits.entry_angle
    assert benchmark(lambda: soonest_return(fresh(), 1500.0, angle)).delta_v > 1499.0


def test_a_flyby_return(benchmark, fresh, landing_plan):
    angle = landing_plan.scenario.orbits.entry_angle
    assert benchmark(lambda: return_around(fresh(), angle)).altitude > 0.0


def test_a_hastened_return(benchmark, landing_plan):
    angle, turn = landing_plan.scenario.orbits.entry_angle, count()
    past = landing_plan.flight.end.outbound.perilune

    def fly():
        here = nbody.fly_arc(past.r, past.v, past.t, 2.0 * c.HOUR + next(turn))
        return hastened_return(here, 800.0, angle)

    assert benchmark(fly).delta_v < 801.0
