"""Down under parachutes: steady speeds, times, opening."""

from __future__ import annotations

import pytest
from scipy.integrate import solve_ivp

from mplan.physics import compiling
from mplan.physics.bodies import atmosphere
from mplan.physics.constants import G0
from mplan.physics.entry.parachutes import (
    CanopySet,
    descend,
    drag_area,
    layers,
    terminal_speed,
    under,
)

MASS = 6200.0
DROGUES = CanopySet(25.0, 7200.0, 0.4)
MAINS = CanopySet(940.0, 3200.0, 0.08)


def air_density(altitude: float) -> float:
    return atmosphere.standard_air(altitude).density


def test_weight_is_drag_at_the_steady_speed():
    """The definition."""
    speed = terminal_speed(MASS, 900.0, 1.225)
    assert 0.5 * 1.225 * speed**2 * 900.0 == pytest.approx(MASS * G0)


def test_drag_area_of_a_cluster():
    """Three discs of 20 m at 0.5."""
    assert drag_area(3, 20.0, 0.5) == pytest.approx(471.24, abs=0.01)


@pytest.mark.parametrize(("area", "speed", "top"), [(30.0, 150.0, 7200.0), (940.0, 62.0, 3200.0)])
def test_scipy_falls_as_long_and_as_fast(area, speed, top):
    """The same fall, integrated in time: 0.2 s and 0.02 m/s."""

    def rates(t: float, state: list[float]) -> list[float]:
        altitude, w = state
        return [-w, G0 - air_density(altitude) * area * w * w / (2.0 * MASS)]

    def ground(t: float, state: list[float]) -> float:
        return state[0]

    ground.terminal = True
    other = solve_ivp(
        rates, (0.0, 1000.0), [top, speed], "LSODA", events=ground, rtol=1e-9, atol=1e-9
    )
    last = descend(MASS, area, speed, top, 0.0, layers(atmosphere.standard_air, top, 0.0))[-1]
    assert last.t == pytest.approx(other.t[-1], abs=0.2)
    assert last.speed == pytest.approx(other.y[1, -1], abs=0.02)


def test_falls_compiled_as_written():
    """Equal digits, of weak and strong braking."""
    air = layers(atmosphere.standard_air, 7200.0, 0.0)
    cases = [(6200.0, 30.0, 150.0), (6200.0, 940.0, 3.0), (900.0, 1.0, 400.0)]
    assert compiling.load()
    refused = compiling.refused()
    quick = [descend(*each, 7200.0, 0.0, air) for each in cases]
    with compiling.as_written():
        assert [descend(*each, 7200.0, 0.0, air) for each in cases] == quick
    compiling.forget()
    assert compiling.refused() == refused


def test_the_descent_in_two_stages():
    """Drogues to the mains' altitude, mains to the water, loads of what is open."""
    down = under(MASS, 11.0, 150.0, 148.0, DROGUES, MAINS, atmosphere.standard_air)
    assert [down.drogues[0].altitude, down.drogues[-1].altitude] == [7200.0, 3200.0]
    assert [down.mains[0].altitude, down.mains[-1].altitude] == [3200.0, 0.0]
    assert down.duration == pytest.approx(down.main_time + down.mains[-1].t)
    assert down.mains[0].speed == down.drogues[-1].speed
    steady = terminal_speed(MASS, 951.0, 1.225)
    assert down.touchdown == pytest.approx(steady, rel=2e-3)
    opening = down.drogue_opening
    assert opening.pressure == pytest.approx(0.5 * air_density(7200.0) * 150.0**2)
    assert opening.load == pytest.approx(1.1 * opening.pressure * 25.0 * 0.4 / (MASS * G0))
    assert opening.mach == pytest.approx(150.0 / atmosphere.standard_air(7200.0).sound_speed)


def test_fewer_mains_come_down_faster():
    """By the root of the areas' ratio, the capsule's own drag aside."""
    lost = MAINS._replace(drag_area=MAINS.drag_area * 2.0 / 3.0)
    both, two = (
        under(MASS, 0.0, 150.0, 148.0, DROGUES, mains, atmosphere.standard_air)
        for mains in (MAINS, lost)
    )
    assert two.touchdown / both.touchdown == pytest.approx(1.5**0.5, rel=1e-3)
