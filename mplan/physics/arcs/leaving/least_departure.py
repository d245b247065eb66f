"""The least burn from a place of a lunar orbit whose arc meets an entry, in few steps.

Burns that meet it lie on a strongly bent line; the velocities far from the Moon that they lead to
on a nearly straight one: the speed towards Earth and that across it hardly change from plane to
plane about the Earth-Moon line. So these are what is solved for, with the plane's angle: of the
arcs flown the slopes, of joined conics (`joined_conics.departures`) the place on the line where
the burn is least.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from mplan.physics import constants as c
from mplan.physics.arcs.bplane import asymptote
from mplan.physics.arcs.leaving.joined_conics import departures
from mplan.physics.arcs.lunar_orbit import LunarOrbit
from mplan.physics.bodies import ephemeris
from mplan.physics.targeting import LEAST, Misses, NoArc, Scaling, slopes, solve_abreast
from mplan.physics.vectors import cross, length, unit

TURN = 0.5  # rad of the plane in one correction, at the most (our choice)
ANGLES = np.linspace(-TURN, TURN, 41)  # looked at for the least burn, then between two of them
CORRECTIONS = 15  # at the most; three to six are usual (measured)
SAME = 1e-6  # of the speed, within which joined conics lead back to the velocity they were told


@dataclass(frozen=True)
class FarVelocities:
    """Burns from a place, told by the velocity far from the Moon: (n, 3) of inward, across, angle.

    `inward` and `across` [m/s] are against Earth, towards it and across that; `angle` [rad] is
    that of the plane about the Earth-Moon line, from the Moon's own velocity.
    """

    leaving: LunarOrbit

    def of(self, burn: np.ndarray) -> np.ndarray:
        """Return inward, across and angle (3,) of a burn [m/s].

        ValueError for one that leaves the Moon on no hyperbola, or on one that has yet to come to
        its perilune and that joined conics would not leave on.
        """
        here = self.leaving
        moon, up, ahead, aside = self._axes
        v = here.v + burn
        back = asymptote(here.r, -v, c.MU_MOON)  # seen backwards in time
        far = moon - back.v_inf * back.s
        told = np.array(
            [-far @ up, np.hypot(far @ ahead, far @ aside), np.arctan2(far @ aside, far @ ahead)]
        )
        if np.max(np.abs(self.burns(told[None])[0] - burn)) > SAME * length(v):
            raise ValueError("joined conics do not leave so")
        return told

    def burns(self, told: np.ndarray) -> np.ndarray:
        """Return the burns (n, 3) [m/s] of (n, 3) of inward, across and angle."""
        return departures(self.leaving.r[None], self.far_out(told))[0] - self.leaving.v

    def far_out(self, told: np.ndarray) -> np.ndarray:
        """Return the velocities against the Moon (n, 3) [m/s] far from it."""
        moon, up, ahead, aside = self._axes
        inward, across, angle = told[:, 0, None], told[:, 1, None], told[:, 2, None]
        return across * (np.cos(angle) * ahead + np.sin(angle) * aside) - inward * up - moon

    @cached_property
    def _axes(self) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
        """The Moon's velocity [m/s]; unit vectors from Earth, along its path and across both."""
        luna = ephemeris.moon(self.leaving.t)
        up = unit(luna.r)
        ahead = unit(luna.v - float(luna.v @ up) * up)
        return luna.v, up, ahead, cross(up, ahead)


def least_burn(misses: Misses, leaving: LunarOrbit, start: np.ndarray, aim: Scaling) -> np.ndarray:
    """Return the burn [m/s] from the place `leaving` whose arc misses nothing, from a `start`.

    `misses` tells of several burns; of two targets the least burn is sought, to within
    `targeting.LEAST` of `aim.limit`; three leave no choice. NoArc if none is found.
    """
    velocities = FarVelocities(leaving)
    try:
        told = velocities.of(start)
    except ValueError:
        return solve_abreast(misses, start, aim)
    steps = _steps(told, aim)
    if aim.tolerance.size == told.size:
        limit = np.append(aim.limit[:2], TURN)
        scaled = Scaling(steps, limit, aim.tolerance)
        found = solve_abreast(lambda xs: misses([*velocities.burns(np.array(xs))]), told, scaled)
        return velocities.burns(found[None])[0]
    for _ in range(CORRECTIONS):
        burns = velocities.burns(told + np.vstack([np.zeros(3), np.diag(steps)]))
        off, *beside = misses([*burns])
        further = _corrected(velocities, told, off, slopes(off, beside, steps), aim)
        met = np.all(np.abs(off) <= aim.tolerance)
        if met and np.max(np.abs(_burn(velocities, further) - burns[0]) / aim.limit) < LEAST:
            return burns[0]
        told = further
    raise NoArc("none was found that meets its targets")


def _steps(told: np.ndarray, aim: Scaling) -> np.ndarray:
    """Return the steps for differences; of the angle one that is as long across."""
    return np.append(aim.step[:2], aim.step[2] / max(1.0, told[1]))


def _burn(velocities: FarVelocities, told: np.ndarray) -> np.ndarray:
    return velocities.burns(told[None])[0]


def _corrected(
    velocities: FarVelocities, told: np.ndarray, off: np.ndarray, slope: np.ndarray, aim: Scaling
) -> np.ndarray:
    """Return the least burn that misses nothing as far as the slopes tell, as far as one step goes.

    `slope` is d(off)/d(inward, across, angle), (2, 3).
    """
    try:
        back, by_angle = np.linalg.solve(slope[:, :2], np.stack([-off, -slope[:, 2]], axis=1)).T
    except np.linalg.LinAlgError as problem:
        raise NoArc("none was found that meets its targets") from problem
    back = back / max(1.0, np.max(np.abs(back) / aim.limit[:2]))
    way = np.append(by_angle, 1.0)
    met = told + np.append(back, 0.0)
    angle = _least(velocities, met, way, ANGLES)
    return met + _least(velocities, met, way, angle + ANGLES * (ANGLES[1] - ANGLES[0])) * way


def _least(
    velocities: FarVelocities, met: np.ndarray, way: np.ndarray, angles: np.ndarray
) -> float:
    """Return the angle [rad] along a line at which the burn is least, by a parabola between."""
    burns = velocities.burns(met + angles[:, None] * way)
    costs = np.sum(burns * burns, axis=-1)
    i = int(np.argmin(costs))
    if i in (0, angles.size - 1):
        return float(angles[i])
    before, here, after = costs[i - 1 : i + 2]
    bend = before - 2.0 * here + after
    off = (before - after) / (2.0 * bend) if bend > 0.0 else 0.0
    return float(angles[i] + off * (angles[1] - angles[0]))
