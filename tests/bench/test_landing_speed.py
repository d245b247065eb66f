"""How long descent, ascent and the study of aborts take in a warm process. Shown, not asserted."""

from __future__ import annotations

from itertools import count

from mplan.contingencies import descent_aborts
from mplan.physics.burns.linear_tangent import SteadyThrust
from mplan.physics.constants import MU_MOON, R_MOON
from mplan.physics.landing import ascent, descent, descent_abort
from mplan.physics.twobody import speed
from mplan.studies import stay

WAY = descent.DescentProfile(
    26.0, 0.925, 2300.0, 154.0, 44.0, 155.0, 17.0, 5.0, 20.0, 15.0, 100.0, 0.9
)
LANDER = descent.Lander(16510.0, 45e3, 5.4e3, 312.0, 8400.0)
LOW, SPIN = R_MOON + 15e3, (0.0, -2.65e-6, 0.0)


def test_descent(benchmark):
    """Braking solved in six numbers, approach and touchdown flown, each time another."""
    masses = count(16510)
    start = (-0.3 * LOW, 0.005 * LOW, 0.955 * LOW, 1620.0, 0.0, 509.0)

    def land() -> descent.DescentFlight:
        lander = LANDER._replace(mass=float(next(masses)))
        return descent.fly_descent(start, lander, WAY, R_MOON, SPIN)

    assert benchmark.pedantic(land, rounds=100, warmup_rounds=3).miss < 1.0


def test_ascent(benchmark):
    """Solved in five numbers, with a turn into the plane, each time another."""
    masses = count(5000)
    low, high = R_MOON + 17e3, R_MOON + 85e3
    aimed = ascent.InsertionTarget(low, speed(low, (low + high) / 2.0, MU_MOON))
    start = (0.0, 35e3, R_MOON - 350.0, -4.6, 0.0, 0.0)

    def climb() -> ascent.AscentFlight:
        push = SteadyThrust(16e3, 311.0, float(next(masses)))
        return ascent.fly_ascent(start, push, 10.0, aimed)

    found = benchmark.pedantic(climb, rounds=100, warmup_rounds=3)
    assert 1800.0 < found.delta_v < 1950.0


def fresh():
    """Forget what was flown before."""
    ascent.fly_ascent.cache_clear()
    descent_abort.abort_climb.cache_clear()


def test_aborts_along_a_descent(benchmark, landing_plan):
    """Two dozen moments, two stages."""
    found = benchmark.pedantic(
        lambda: descent_aborts.along_descent(landing_plan.flight), setup=fresh, rounds=10
    )
    assert found.last


def test_passes_through_a_stay(benchmark, landing_plan):
    """An ascent flown at each pass of the ship."""
    assert benchmark.pedantic(lambda: stay.passes(landing_plan), setup=fresh, rounds=5)
