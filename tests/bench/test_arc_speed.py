"""One arc to the Moon, three integrators: how long each takes, and that they end together.

The third is the Cowell propagator of the orbit library (boinor, or poliastro on older Pythons)
with its own J2 and third bodies, fed with the same DE421 places.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from importlib import import_module
from importlib.util import find_spec
from typing import Any

import numpy as np
import pytest

from mplan.physics import constants as c
from mplan.physics.arcs import nbody, outbound
from mplan.physics.arcs.lambert import lambert
from mplan.physics.arcs.parking import Parking, Site
from mplan.physics.bodies import earth, ephemeris

pytestmark = [
    pytest.mark.benchmark(group="an arc of three days to the Moon"),
    # NumPy's own harmless notice about older binaries, met where astropy 5 is imported.
    pytest.mark.filterwarnings("ignore:numpy.ndarray size changed"),
]

# May 2031: from 185 km up to the distance of the Moon.
T = 989_211_600.0
DURATION = 72 * c.HOUR


@cache
def start() -> tuple[np.ndarray, np.ndarray]:
    """Return position [m] and velocity [m/s]: a fast ellipse from over the Moon's antipode."""
    towards = ephemeris.moon(T + DURATION).r
    up = -towards / np.linalg.norm(towards)
    north = np.array([0.0, 0.0, 1.0])
    along = np.cross(north, up) / np.linalg.norm(np.cross(north, up))
    return 6.563e6 * up, 10_945.0 * along


def by_mplan(back_end: nbody.BackEnd) -> Callable[[], np.ndarray]:
    def fly() -> np.ndarray:
        nbody._lately.cache_clear()  # flown, not remembered
        return nbody.fly_arc(*start(), T, DURATION, back_end=back_end).r

    return fly


def by_library() -> Callable[[], np.ndarray]:
    """Return the flight by Cowell's method, in axes turned to Earth's equator of the day."""
    library = "boinor" if find_spec("boinor") else "poliastro"

    def part(name: str) -> Any:
        return import_module(f"{library}.{name}")

    units = import_module("astropy.units")
    perturbations = part("core.perturbations")
    twobody = part("core.propagation").func_twobody
    equator, km = earth.true_equator_of_day(T), 1e3
    moon, sun = _in_axes(equator / km)
    bodies = ((c.MU_MOON / km**3, moon), (c.MU_SUN / km**3, sun))

    def rates(t: float, state: np.ndarray, k: float) -> np.ndarray:
        pull = perturbations.J2_perturbation(t, state, k, c.J2_EARTH, c.R_EARTH / km)
        for mu, body in bodies:
            pull = pull + perturbations.third_body(t, state, k, mu, body)
        return twobody(t, state, k) + np.concatenate([np.zeros(3), pull])

    attractor = part("bodies").Body(None, c.MU_EARTH * units.m**3 / units.s**2, "Earth")
    r, v = (equator @ x / km for x in start())
    orbit = part("twobody").Orbit.from_vectors(attractor, r * units.km, v * units.km / units.s)
    method = part("twobody.propagation").CowellPropagator(rtol=1e-11, f=rates)

    def fly() -> np.ndarray:
        end = orbit.propagate(DURATION * units.s, method=method)
        return equator.T @ end.r.to_value(units.m)

    return fly


def _in_axes(axes: np.ndarray) -> list[Callable[[float], np.ndarray]]:
    """Return Moon and Sun as functions of the time flown, in some axes and their unit."""
    from scipy.interpolate import CubicHermiteSpline

    after = np.arange(-c.HOUR, DURATION + 2 * c.HOUR, c.HOUR)
    places = (ephemeris.moon(T + after), ephemeris.sun(T + after))
    return [CubicHermiteSpline(after, body.r @ axes.T, body.v @ axes.T) for body in places]


FLIERS = {f"mplan, {name}": lambda name=name: by_mplan(name) for name in nbody.back_ends()}
FLIERS["orbit library, Cowell"] = by_library


@pytest.mark.parametrize("name", FLIERS)
def test_arc(benchmark, name):
    """Within 1 km at the Moon: the differences are the integrators' and Moon's own, metres."""
    reference = by_mplan("dop853")()
    end = benchmark.pedantic(FLIERS[name](), rounds=10, warmup_rounds=1)
    assert np.linalg.norm(end - reference) < 1e3
    assert 3.5e8 < np.linalg.norm(end) < 4.1e8


def test_four_arcs_abreast(benchmark):
    """Four arcs as slopes ask for them: in the time of one, where heyoka flies them."""
    r, v = start()
    shots = [nbody.ArcStart(r, v + x, T, DURATION) for x in np.diag([0.0, 0.01, 0.01, 0.01])[:, 1:]]

    def fly() -> tuple[nbody.Arrival, ...]:
        nbody._lately.cache_clear()
        return nbody.fly_abreast(shots)

    ends = benchmark.pedantic(fly, rounds=10, warmup_rounds=1)
    assert len({end.r[0] for end in ends}) == 4


def targeted() -> np.ndarray:
    """Return the burn that an integrated arc to the Moon takes, found from a two-body guess."""
    site = Site(12.0 * c.DEG, -45.0 * c.DEG, 62.0 * c.DEG, climb=600.0, downrange=0.4)
    parking = Parking(site, c.R_EARTH + 185e3, T)
    nbody._lately.cache_clear()
    flown = outbound.target_outbound(
        parking,
        revolutions=1,
        time_of_flight=DURATION,
        perilune=c.R_MOON + 110e3,
        plane=lambda incoming, t: np.cross(incoming.s, [0.0, 0.0, 1.0]) / np.hypot(*incoming.s[:2]),
    )
    return np.array([flown.delta_v])


def joined() -> np.ndarray:
    """Return the velocities of the library's conic to the Moon's place (Lambert's problem)."""
    return np.concatenate(lambert(start()[0], ephemeris.moon(T + DURATION).r, DURATION, c.MU_EARTH))


WAYS = {"mplan, integrated and targeted": targeted, "orbit library, Lambert's conic": joined}


@pytest.mark.benchmark(group="a way to the Moon in three days")
@pytest.mark.parametrize("name", WAYS)
def test_way(benchmark, name):
    """A conic neglects the Moon's pull and knows no launch site: it is a first guess alone."""
    found = benchmark.pedantic(WAYS[name], rounds=5, warmup_rounds=1)
    assert np.all(np.isfinite(found))
