"""On round the Moon and home: the trim, made now, after which the arc past the Moon meets the air.

Where to pass the Moon is found from conics joined there: one arc to the Moon and three beside it
tell what a burn now moves in the plane across the asymptote (`bplane`); for each point of it the
passage turns the asymptote by 2 asin(1/e), and what then leaves has an angular momentum about
Earth, which the entry asks for (Battin 1999, ch. 8). Of the points that fit, the least burns are
flown, and Newton's method on arcs all the way to the air finds the least burn next to them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import suppress
from typing import NamedTuple

import numpy as np

from mplan.physics import constants as c
from mplan.physics.arcs import bplane, nbody
from mplan.physics.arcs.homeward import INTERFACE_RADIUS, ReturnPlane, entry_miss
from mplan.physics.circumlunar.coast_past import CorrectionHome
from mplan.physics.targeting import NoArc, Scaling, slopes, solve_abreast
from mplan.physics.vectors import cross, length, unit

LONGEST = 14 * c.DAY  # s, for which an arc is followed past the Moon
LOWEST = 30e3  # m over the Moon, of a passage that is aimed for (our choice)
WIDEST = 6e7  # m, miss distance: the edge of what joined conics tell
SIDES, MISSES = 48, 96  # points looked at in the plane across the asymptote
STARTS = 3  # of these that are flown
APART = 0.7  # cosine of the least angle between the sides of two of them
STEP = 0.05  # m/s
BEYOND = 1.5 * c.DAY  # s past the Moon, where Earth decides
NEAR = 1e-2  # rad, of a plane
PUNCTUAL = 10.0  # s, of the time of an arrival: 4 km of longitude
STEEPEST = 80.0 * c.DEG  # of a plane home that goes with Earth's turn

AIM = Scaling(
    step=np.full(3, 0.01),  # m/s
    limit=np.full(3, 60.0),
    tolerance=np.array([200.0]),  # m of perigee: 0.002 deg at the interface
)


TO_EARTH = Scaling(
    step=np.full(3, 0.01), limit=np.full(3, 60.0), tolerance=np.full(2, 1e9)
)  # m2/s: of 7e10, which is 200 km of perigee


_Start = tuple[np.ndarray, ReturnPlane | None]


class FlybyReturn(NamedTuple):
    """A trim on the way out, the closest approach to the Moon and the arrival that it leads to."""

    trim: CorrectionHome
    perilune: nbody.Arrival

    @property
    def altitude(self) -> float:
        """How high the Moon is passed [m]."""
        return length(self.perilune.lunar_r) - c.R_MOON


def return_around(here: nbody.ArcStart, entry_angle: float) -> FlybyReturn:
    """Return the least burn at `here` after which the arc goes round the Moon and into the air.

    At `entry_angle` [rad, below zero], round with Earth's turn, and over the Moon by 30 km at
    least. An arc that does so by itself has a burn of zero. NoArc where none is found.
    """
    found: list[FlybyReturn] = []
    for start, plane in _starts(here, entry_angle):
        found += _next_to(here, start, entry_angle, plane)
        if plane is None and found:  # from no burn at all: none is less
            break
    if not found:
        raise NoArc("no passage of the Moon was found that leads home")
    return min(found, key=lambda each: each.trim.delta_v)


def return_around_in(
    here: nbody.ArcStart, near: FlybyReturn, lasts: float, entry_angle: float
) -> FlybyReturn:
    """Return the least burn next to that of a flyby return which meets the air in `lasts` [s].

    NoArc where none is found, or it leads too near the Moon.
    """
    found = _least(here, near.trim.burn, entry_angle, None, lasts)
    if found is None:
        raise NoArc("no passage of the Moon leads home at that time")
    return found


def _next_to(
    here: nbody.ArcStart, start: np.ndarray, entry_angle: float, plane: ReturnPlane | None
) -> list[FlybyReturn]:
    """Return the least burn next to a start, in whatever plane or in the one given; or none."""
    for held in (None, plane) if plane else (None,):
        with suppress(ArithmeticError):
            found = _least(here, start, entry_angle, held)
            if found is not None:
                return [found]
    return []


def _fly(
    here: nbody.ArcStart, burns: Sequence[np.ndarray], stop: nbody.Stop
) -> tuple[nbody.Arrival, ...]:
    arcs = [nbody.ArcStart(here.r, here.v + burn, here.t, LONGEST) for burn in burns]
    return nbody.fly_abreast(arcs, stop)


def _least(
    here: nbody.ArcStart,
    start: np.ndarray,
    entry_angle: float,
    plane: ReturnPlane | None,
    lasts: float | None = None,
) -> FlybyReturn | None:
    """Return the least burn next to a start, home in a `plane` and a time [s] if they are given.

    None where it comes too near the Moon, or home against Earth's turn.
    """
    also = [*([] if lasts is None else [PUNCTUAL]), *([] if plane is None else [NEAR])]
    aim = AIM._replace(tolerance=np.append(AIM.tolerance, also))

    def miss(end: nbody.Arrival) -> np.ndarray:
        off = entry_miss(end, here.t + (lasts or 0.0), entry_angle)
        off = off if lasts is not None else off[:1]  # whenever it comes
        return off if plane is None else np.append(off, plane.off(end.r, end.v))

    def misses(burns: Sequence[np.ndarray]) -> list[np.ndarray]:
        return [miss(end) for end in _fly(here, burns, "earth")]

    burn = solve_abreast(misses, start, aim)
    (end,), (past,) = _fly(here, [burn], "earth"), _fly(here, [burn], "perilune")
    turning = unit(cross(end.r, end.v)) @ nbody.earth_pole(end.t) > 0.0
    low = length(past.lunar_r) < c.R_MOON + LOWEST
    if end.stop != "entry interface" or past.stop != "perilune" or low or not turning:
        return None
    return FlybyReturn(CorrectionHome(here.t, burn, end), past)


def _starts(here: nbody.ArcStart, entry_angle: float) -> Iterator[_Start]:
    """Yield burns [m/s] to start from: none at all, then to the points that joined conics find.

    Those are flown, each from another side of the Moon, the least first; with the plane home.
    """
    yield np.zeros(3), None
    beside = np.vstack([np.zeros(3), np.eye(3) * STEP])
    ends = _fly(here, list(beside), "perilune")
    if any(end.stop != "perilune" for end in ends):
        raise NoArc("the arc does not reach the Moon")
    incoming, pole = _asymptote(ends[0]), nbody.earth_pole(here.t)
    points = [_point(end, pole) for end in ends]
    slope = slopes(points[0], points[1:], np.full(3, STEP))
    aims = _aims(ends[0], incoming, pole, entry_angle)
    burns = (aims - points[0]) @ np.linalg.pinv(slope).T
    sides = np.arctan2(aims[:, 1], aims[:, 0])
    left = list(np.argsort(np.linalg.norm(burns, axis=-1)))
    for _ in range(STARTS):
        if not left:
            return
        best = left[0]
        left = [i for i in left if np.cos(sides[i] - sides[best]) < APART]
        with suppress(ArithmeticError):
            yield _flown_to(here, burns[best], entry_angle)


def _flown_to(here: nbody.ArcStart, burn: np.ndarray, entry_angle: float) -> _Start:
    """Return the burn [m/s] next to one after which the arc falls towards Earth as an entry asks.

    Told a day and a half past the Moon, by the angular momentum across the line to it: in the
    plane that the arc has then, or the nearest that is `STEEPEST` to the equator at the most. It
    changes smoothly where the perigee of an arc goes through Earth's middle.
    """
    up = unit(_past(here, [burn])[0].moon_r)
    first, second = _across(up, nbody.earth_pole(here.t))
    h = cross(*_state(_past(here, [burn])[0]))
    tilt = float(np.clip(np.arctan2(h @ second, h @ first), -STEEPEST, STEEPEST))
    wanted = np.cos(tilt) * first + np.sin(tilt) * second

    def misses(burns: Sequence[np.ndarray]) -> list[np.ndarray]:
        found = []
        for end in _past(here, burns):
            h = cross(*_state(end))
            off = h - _needed(end, entry_angle) * wanted
            found.append(np.array([off @ first, off @ second]))
        return found

    return solve_abreast(misses, burn, TO_EARTH), ReturnPlane(up, wanted)


def _across(up: np.ndarray, pole: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Return the normals of two planes through a line: nearest to the equator, and upright."""
    first = unit(pole - (pole @ up) * up)
    return first, cross(up, first)


def _past(here: nbody.ArcStart, burns: Sequence[np.ndarray]) -> tuple[nbody.Arrival, ...]:
    """Return the arcs a day and a half past the Moon."""
    ends = _fly(here, burns, "perilune")
    return nbody.fly_abreast([nbody.ArcStart(x.r, x.v, x.t, BEYOND) for x in ends])


def _state(end: nbody.Arrival) -> tuple[np.ndarray, np.ndarray]:
    return end.r, end.v


def _needed(end: nbody.Arrival, entry_angle: float) -> float:
    """Return the angular momentum [m2/s] with which an arc of this energy meets its entry."""
    energy = float(end.v @ end.v) / 2.0 - c.MU_EARTH / length(end.r)
    fast = np.sqrt(max(0.0, 2.0 * (energy + c.MU_EARTH / INTERFACE_RADIUS)))
    return float(INTERFACE_RADIUS * fast * np.cos(entry_angle))


def _asymptote(end: nbody.Arrival) -> bplane.Asymptote:
    try:
        return bplane.asymptote(end.lunar_r, end.lunar_v, c.MU_MOON)
    except ValueError as closed:
        raise NoArc("the arc does not pass the Moon") from closed


def _point(end: nbody.Arrival, pole: np.ndarray) -> np.ndarray:
    """Return where an arc passes in the plane across its asymptote (2,) [m]."""
    found = _asymptote(end)
    return np.array(bplane.components(found, found.b, pole))


def _aims(
    there: nbody.Arrival, incoming: bplane.Asymptote, pole: np.ndarray, entry_angle: float
) -> np.ndarray:
    """Return the points (n, 2) [m] across the asymptote from which conics lead into the air."""
    s, v_inf = incoming.s, incoming.v_inf
    t_hat = unit(cross(s, pole))
    r_hat = cross(s, t_hat)
    reach = (c.R_MOON + LOWEST) * np.sqrt(1.0 + 2.0 * c.MU_MOON / ((c.R_MOON + LOWEST) * v_inf**2))
    sizes = np.geomspace(reach, WIDEST, MISSES)
    angles = np.arange(SIDES) * (2.0 * np.pi / SIDES)
    sides = np.outer(np.cos(angles), t_hat) + np.outer(np.sin(angles), r_hat)
    excess = _excess(there, incoming, sides[:, None, :], sizes[None, :, None], entry_angle)
    found = []
    for i, j in zip(*np.nonzero(excess[:, :-1] * excess[:, 1:] < 0.0), strict=True):
        share = excess[i, j] / (excess[i, j] - excess[i, j + 1])
        size = sizes[j] + share * (sizes[j + 1] - sizes[j])
        found.append(size * np.array([np.cos(angles[i]), np.sin(angles[i])]))
    if not found:
        raise NoArc("no passage of the Moon leads home")
    return np.array(found)


def _excess(
    there: nbody.Arrival,
    incoming: bplane.Asymptote,
    sides: np.ndarray,
    sizes: np.ndarray,
    entry_angle: float,
) -> np.ndarray:
    """Return the angular momentum about Earth after the passage, less the entry's [m2/s].

    Counted below zero where it turns against Earth; NaN where the arc does not come back.
    """
    v_inf, s = incoming.v_inf, incoming.s
    e = np.sqrt(1.0 + (sizes * v_inf**2 / c.MU_MOON) ** 2)
    sine, cosine = 2.0 * np.sqrt(e * e - 1.0) / e**2, 1.0 - 2.0 / e**2
    out = cosine * s - sine * sides  # the asymptote turned towards the Moon
    b = sizes * (cosine * sides + sine * s)  # and the miss vector with it
    r, v = there.moon_r + b, there.moon_v + v_inf * out
    h = np.cross(r, v)
    energy = np.sum(v * v, axis=-1) / 2.0 - c.MU_EARTH / np.linalg.norm(r, axis=-1)
    fast = np.sqrt(2.0 * (energy + c.MU_EARTH / INTERFACE_RADIUS))
    needed = INTERFACE_RADIUS * fast * np.cos(entry_angle)
    turning = np.sign(h @ nbody.earth_pole(there.t))
    excess = turning * np.linalg.norm(h, axis=-1) - needed
    return np.where(energy < 0.0, excess, np.nan)
