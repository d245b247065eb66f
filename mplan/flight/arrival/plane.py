"""The plane of the lunar orbit to arrive in: over the landing site, or as level as may be.

With an approach azimuth the plane over the site is given, and the incoming asymptote hardly ever
lies in it. The ship then arrives in a plane whose perilune lies in the wanted one, and turns there
and at the apsides of the capture orbit (`turn.py`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from math import acos, asin, cos, pi, sqrt

import numpy as np

from mplan.flight import lunar_orbit, plane_change
from mplan.flight.arrival.site import over_site
from mplan.flight.unflyable import Unflyable
from mplan.physics import constants as c
from mplan.physics.arcs.bplane import Asymptote
from mplan.physics.arcs.lunar_orbit import LunarOrbit, node_rate
from mplan.physics.arcs.outbound import LunarPlane, Outbound
from mplan.physics.bodies import selenography
from mplan.physics.vectors import (
    Vector,
    across,
    cosine_between,
    cross,
    crossed,
    directed,
    dotted,
    floats,
    scaled,
    turned,
    turned_floats,
    unit,
)
from mplan.scenario import BurnEvent, Event, Scenario

SLIGHT, SECANTS = 0.1, 30  # rad, the longest step to a plane; steps
CLEAR = 0.05 * c.DEG  # from the least inclination, of what is told as accepted
FLAT = 0.05  # rad: a site this near to the asymptote lies in every plane through it


def arrival_plane(
    scenario: Scenario,
    ahead: Sequence[Event],
    met: LunarOrbit | None = None,
    landing: float | None = None,
) -> LunarPlane:
    """Return the rule that tells the normal of the lunar orbit to arrive in.

    The plane holds the incoming asymptote and, when the lander comes down, the landing site.
    Without a site it has the inclination that is stated, or lies as near the Moon's equator as the
    asymptote lets it. Where a ship that waits is `met`, perilune lies in the plane of its orbit,
    which J2 turns from then to the time of perilune.
    `landing` [TDB s] is when a lander that is sent ahead comes down, later than its own events say.
    What the events foresee is read here, once: the rule is asked for each arc that is tried.
    """
    if met is not None:
        return partial(_of_ship, scenario, met)
    if scenario.orbits.approach_azimuth is not None:
        return partial(_along_azimuth, scenario, lunar_orbit.time_to_landing(scenario, ahead))
    if scenario.orbits.lunar_inclination is not None:
        return partial(_inclined, scenario, scenario.orbits.lunar_inclination)
    sense, main = lunar_orbit.sense(scenario), scenario.main
    place = main.landing_site if main else scenario.landing_site
    if place is None or not any(event.do == "land" for event in ahead):
        return partial(_level, sense)
    turns = plane_change.planned(scenario, ahead)
    if any(_to_site(burn, scenario) for burn in turns):
        return partial(_level, sense)  # the ship turns to the site later, wherever it comes in
    wait = lunar_orbit.time_to_landing(scenario, ahead)
    low = lunar_orbit.radius(scenario)
    over = _OverSite(place.latitude, place.longitude, sense, low, wait, landing)
    return partial(_over_site_after_turns, over, turns, scenario) if turns else over


def _of_ship(scenario: Scenario, met: LunarOrbit, incoming: Asymptote, t: float) -> np.ndarray:
    axis = selenography.lunar_pole(t)
    rate = node_rate(met.a, 0.0, float(np.arccos(cosine_between(met.normal, axis))))
    wanted = turned(met.normal, axis, rate * (t - met.t))
    return _to_turn_at_perilune(wanted, incoming, scenario)


def _along_azimuth(scenario: Scenario, wait: float, incoming: Asymptote, t: float) -> np.ndarray:
    return _to_turn_at_perilune(over_site(scenario, t, wait), incoming, scenario)


def _inclined(scenario: Scenario, inclination: float, incoming: Asymptote, t: float) -> np.ndarray:
    level = _level(lunar_orbit.sense(scenario), incoming, t)
    return inclined(level, selenography.lunar_pole(t), incoming, inclination)


def _level(sense: float, incoming: Asymptote, t: float) -> np.ndarray:
    """Return the normal nearest to the Moon's pole, or away from it where `sense` is below zero."""
    pole = selenography.lunar_pole(t)
    return sense * unit(pole - (pole @ incoming.s) * incoming.s)


@dataclass(frozen=True)
class _OverSite:
    """The rule of the plane that holds a site [rad] when the lander comes down there.

    That is `wait` [s] after perilune, or at a `landing` [TDB s], from a circle of `radius` [m].
    It is told by its values: ways to the Moon by the same rule are remembered as one.
    """

    latitude: float
    longitude: float
    sense: float
    radius: float
    wait: float
    landing: float | None

    def __call__(self, incoming: Asymptote, t: float) -> np.ndarray:
        """Return the normal."""
        return self.aimed(incoming, t)[0]

    def aimed(self, incoming: Asymptote, t: float) -> tuple[np.ndarray, np.ndarray]:
        """Return the normal, and where the site would be if J2 did not turn the plane."""
        pole, s = floats(selenography.lunar_pole(t)), floats(incoming.s)
        level = scaled(directed(across(pole, s)), self.sense)
        wait = self.wait if self.landing is None else self.landing - t
        site = selenography.site_position(self.latitude, self.longitude, t + wait)
        there = directed(floats(site))
        tilt = dotted(_through(s, there, level), pole)
        # J2 turns the plane while the ship waits: aim at where the site would be without that.
        rate = node_rate(self.radius, 0.0, acos(max(-1.0, min(1.0, tilt))))
        wanted = turned_floats(there, pole, -rate * wait)
        return np.array(_through(s, wanted, level)), np.array(wanted)


def _over_site_after_turns(
    over: _OverSite, turns: Sequence[BurnEvent], scenario: Scenario, incoming: Asymptote, t: float
) -> np.ndarray:
    direct, wanted = over.aimed(incoming, t)
    return _before_turns(direct, turns, incoming, wanted, scenario, t)


def inclined(
    level: np.ndarray, pole: np.ndarray, incoming: Asymptote, inclination: float
) -> np.ndarray:
    """Return the normal of an arrival of an `inclination` [rad] that passes the Moon in the north.

    `level` is the normal of the one nearest to the equator, which is turned about the asymptote:
    cos i = cos(turn) n.p, p the Moon's `pole`. Where the asymptote lies further from the equator
    than the orbit may, it stays the nearest; `require_inclination` then says so.
    """
    most = float(level @ pole)
    turn = acos(max(-1.0, min(1.0, cos(inclination) / most)))
    return turned(level, incoming.s, -turn if most > 0.0 else turn)


def require_inclination(scenario: Scenario, flown: Outbound) -> None:
    """Raise Unflyable where the arrival lies too far from the Moon's equator for what is stated."""
    wanted = scenario.orbits.lunar_inclination
    if wanted is None:
        return
    pole, s = selenography.lunar_pole(flown.perilune.t), flown.asymptote.s
    least = abs(asin(float(pole @ s))) + CLEAR
    if least - 2.0 * CLEAR <= wanted <= pi - least + 2.0 * CLEAR:
        return
    raise Unflyable(
        ("orbits", "lunar_inclination"),
        f"found {wanted / c.DEG:g} deg, but this way comes to the Moon {least / c.DEG:.1f} deg off "
        f"its equator; accepted: {least / c.DEG:.1f} deg to {(pi - least) / c.DEG:.1f} deg, or "
        "another day",
    )


def _to_site(burn: BurnEvent, scenario: Scenario) -> bool:
    """Tell whether a plane change turns as far as the site needs, and not by a stated angle."""
    return burn.turn is None and scenario.orbits.capture_plane_change is None


def _before_turns(
    direct: np.ndarray,
    turns: Sequence[BurnEvent],
    incoming: Asymptote,
    wanted: np.ndarray,
    scenario: Scenario,
    t: float,
) -> np.ndarray:
    """Return the plane to arrive in so that, after the planned turns, it holds the site.

    Near `direct`, the plane that would hold it without them: the secant method on the angle
    about the asymptote. Where none does, the one that was tried last.
    """
    low = lunar_orbit.radius(scenario)
    e = 1.0 + low * incoming.v_inf**2 / c.MU_MOON

    def off(angle: float) -> float:
        normal = turned(direct, incoming.s, angle)
        perilune = incoming.s / e - cross(normal, incoming.s) * sqrt(1.0 - 1.0 / e**2)
        return float(plane_change.turned_by(normal, perilune, turns, scenario, t) @ wanted)

    last, angle = 0.0, SLIGHT
    before = off(last)
    for _ in range(SECANTS):
        now = off(angle)
        if abs(now) < 1e-10 or now == before:
            break
        step = now * (angle - last) / (now - before)
        last, before, angle = angle, now, angle - max(-SLIGHT, min(SLIGHT, step))
    return turned(direct, incoming.s, angle)


def _through(s: Vector, site: Vector, level: Vector) -> Vector:
    """Return the normal of the plane of two directions, on the side of `level`."""
    normal = crossed(s, site)
    size = sqrt(dotted(normal, normal))
    if size < FLAT:
        return level
    return scaled(normal, 1.0 / (size if dotted(normal, level) > 0.0 else -size))


def _to_turn_at_perilune(wanted: np.ndarray, incoming: Asymptote, scenario: Scenario) -> np.ndarray:
    """Return the normal of the arrival whose perilune lies in the plane of `wanted`.

    The perilune lies on a cone about the asymptote; of the two places where it meets the plane,
    the one that asks for the lesser turn. Where it misses the plane, the nearest.
    """
    s, low = incoming.s, lunar_orbit.radius(scenario)
    e = 1.0 + low * incoming.v_inf**2 / c.MU_MOON
    across = wanted - (wanted @ s) * s
    size = float(np.linalg.norm(across))
    share = -float(wanted @ s) / (sqrt(e * e - 1.0) * size)
    share = max(-1.0, min(1.0, share))
    ahead = cross(s, across / size)  # from the asymptote to a perilune in the plane of `across`
    return cross(share * across / size + sqrt(1.0 - share**2) * ahead, s)
