"""An abort to orbit by two engines in turn: the same way as by one that has what both have."""

from math import exp

import pytest

from mplan.physics import constants as c
from mplan.physics.burns import linear_tangent as lt
from mplan.physics.burns.linear_tangent import SteadyThrust
from mplan.physics.landing.descent_abort import SafeOrbit, abort_climb, abort_in_turn
from mplan.physics.twobody import speed

SAFE = SafeOrbit(c.R_MOON + 16e3, c.R_MOON + 80e3, c.R_MOON)
BRAKED = (0.0, 0.0, c.R_MOON + 12e3, 900.0, 0.0, -40.0)  # half-way down, ahead and sinking
ENGINE = SteadyThrust(30e3, 315.0, 10e3)


def rest(there):
    """The same engine, lighter by what `there` [m/s] has drawn."""
    return ENGINE._replace(mass=ENGINE.mass * exp(-there / (ENGINE.isp * c.G0)))


@pytest.mark.parametrize("share", [0.1, 0.5, 0.9])
def test_one_engine_twice_is_one_engine(share):
    """With no parting the velocities add up to those of the whole: within a metre a second."""
    whole = abort_climb(BRAKED, ENGINE, 0.0, SAFE)
    there = share * whole.delta_v
    risen, climb = abort_in_turn(BRAKED, ENGINE, there, rest(there), 0.0, SAFE)
    assert risen.delta_v == there
    assert risen.delta_v + climb.delta_v == pytest.approx(whole.delta_v, abs=1.0)
    assert risen.duration + climb.duration == pytest.approx(whole.duration, abs=1.0)


def test_it_ends_in_the_safe_orbit():
    """Level at the perilune with the speed of an ellipse up to the apolune (vis viva)."""
    _, climb = abort_in_turn(BRAKED, ENGINE, 400.0, SteadyThrust(16e3, 311.0, 4e3), 10.0, SAFE)
    end = lt.local_state(climb.end)
    assert end.radius == pytest.approx(SAFE.perilune, abs=50.0)
    assert end.climb == pytest.approx(0.0, abs=0.5)
    wanted = speed(SAFE.perilune, (SAFE.perilune + SAFE.apolune) / 2.0, c.MU_MOON)
    assert end.speed == pytest.approx(wanted, abs=0.5)


def test_parting_costs():
    """Each second of fall between the engines takes more of the second."""
    spent = [
        abort_in_turn(BRAKED, ENGINE, 400.0, rest(400.0), parting, SAFE)[1].delta_v
        for parting in (0.0, 10.0, 30.0)
    ]
    assert spent == sorted(spent)
    assert spent[2] > spent[0] + 1.0


def test_none_where_the_first_has_enough_or_the_second_is_too_weak():
    assert abort_in_turn(BRAKED, ENGINE, 5000.0, ENGINE, 0.0, SAFE) is None
    assert abort_in_turn(BRAKED, ENGINE, 200.0, SteadyThrust(200.0, 220.0, 4e3), 0.0, SAFE) is None
