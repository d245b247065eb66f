"""What a powered descent or climb leaves behind, as arrays: states, mass, thrust, lines of sight.

Axes are those of the site, or of the orbit's plane next to it: `z` up, `x` ahead, `y` across. They
turn with the Moon in a descent, and stand still in an ascent.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from mplan.physics.burns.linear_tangent import (
    LunarState,
    Spin,
    SteadyThrust,
    TangentSteering,
    direction,
    tangent_step,
)
from mplan.physics.compiling import entry, source
from mplan.physics.constants import G0, MU_MOON
from mplan.physics.vectors import Vector, freeze

TrackPoint = tuple[float, ...]  # t, state (6), mass, thrust direction (3), thrust [N]


@dataclass(frozen=True)
class DescentTrack:
    """States at times `t` [s] after ignition, n of them; where a phase ends there are two.

    `place` [m] and `velocity` [m/s] (n, 3); `mass` [kg]; `pointing` (n, 3), unit vectors of the
    thrust; `throttle`, of full thrust; `ground` [m], the radius of the site.
    """

    t: np.ndarray
    place: np.ndarray
    velocity: np.ndarray
    mass: np.ndarray
    pointing: np.ndarray
    throttle: np.ndarray
    ground: float

    def __post_init__(self) -> None:
        """Make the arrays read-only: the record is handed out again."""
        freeze(self)

    @property
    def up(self) -> np.ndarray:
        """Unit vectors away from the Moon's centre (n, 3)."""
        return self.place / np.linalg.norm(self.place, axis=1)[:, None]

    @property
    def altitude(self) -> np.ndarray:
        """Height over the site's own [m]."""
        return np.linalg.norm(self.place, axis=1) - self.ground

    @property
    def range(self) -> np.ndarray:
        """Distance along the ground to the site [m]."""
        x, y, z = self.place.T
        return self.ground * np.arctan2(np.hypot(x, y), z)

    @property
    def covered(self) -> np.ndarray:
        """Distance along the ground from where the track begins [m]."""
        up = self.up
        apart = np.linalg.norm(np.cross(up[0], up), axis=1)
        return self.ground * np.arctan2(apart, up @ up[0])

    @property
    def speed(self) -> np.ndarray:
        """Size of the velocity in these axes [m/s], the vertical part with it."""
        return np.linalg.norm(self.velocity, axis=1)

    @property
    def climb(self) -> np.ndarray:
        """Vertical speed [m/s], up positive."""
        return np.sum(self.velocity * self.up, axis=1)

    @property
    def pitch(self) -> np.ndarray:
        """Angle of the thrust over the horizon [rad]: a right angle is upright."""
        return np.arcsin(np.clip(np.sum(self.pointing * self.up, axis=1), -1.0, 1.0))

    @property
    def depression(self) -> np.ndarray:
        """Angle by which the site lies under the craft's horizon [rad]."""
        return -np.arcsin(np.clip(np.sum(self._sight * self.up, axis=1), -1.0, 1.0))

    @property
    def look(self) -> np.ndarray:
        """Angle by which the site lies under the craft's own forward axis [rad].

        The crew look forwards, perpendicular to the thrust; a right angle is the engine's
        own direction.
        """
        return -np.arcsin(np.clip(np.sum(self._sight * self.pointing, axis=1), -1.0, 1.0))

    @property
    def _sight(self) -> np.ndarray:
        """Unit vectors from the craft to the site; straight down once it stands there."""
        towards = np.array([0.0, 0.0, self.ground]) - self.place
        distance = np.linalg.norm(towards, axis=1)[:, None]
        return np.where(distance > 1.0, towards / np.maximum(distance, 1.0), -self.up)

    def between(self, begin: float, end: float) -> DescentTrack:
        """Return the part from `begin` to `end` [s], both with it."""
        kept = (self.t >= begin) & (self.t <= end)
        return DescentTrack(
            self.t[kept],
            self.place[kept],
            self.velocity[kept],
            self.mass[kept],
            self.pointing[kept],
            self.throttle[kept],
            self.ground,
        )


def of_points(points: list[TrackPoint], ground: float, full: float) -> DescentTrack:
    """Return the track of points in the order flown, with a full thrust [N]."""
    table = np.array(points)
    return DescentTrack(
        t=table[:, 0],
        place=table[:, 1:4],
        velocity=table[:, 4:7],
        mass=table[:, 7],
        pointing=table[:, 8:11],
        throttle=table[:, 11] / full,
        ground=ground,
    )


def steered_burn(
    state: LunarState,
    begun: float,
    duration: float,
    law: TangentSteering,
    push: SteadyThrust,
    spin: Spin,
    *,
    steps: int,
) -> tuple[list[TrackPoint], LunarState]:
    """Return the points of a steered burn that begins at `begun` [s] on the clock, and its end."""
    if duration <= 0.0:
        return [], state
    push.mass_after(duration)
    rows = np.empty((steps + 1, 12))
    end = write_burn(state, float(begun), float(duration), law, push, spin, rows)
    return list(map(tuple, rows.tolist())), end


@entry
def write_burn(
    state: LunarState,
    begun: float,
    duration: float,
    law: TangentSteering,
    push: SteadyThrust,
    spin: Spin,
    rows: np.ndarray,
) -> LunarState:
    """Write the points of a steered burn into `rows` (n, 12), a step from each to the next.

    Returns the state at its end.
    """
    steps, flow = rows.shape[0] - 1, push.thrust / (push.isp * G0)
    dt = duration / steps
    for i in range(steps):
        t = i * dt
        aimed = direction(state, law, t)
        write_point(rows, i, begun + t, state, push.mass - flow * t, aimed, push.thrust)
        state = tangent_step(state, t, dt, law, push, spin)
    aimed, left = direction(state, law, duration), push.mass - flow * duration
    write_point(rows, steps, begun + duration, state, left, aimed, push.thrust)
    return state


@source
def write_point(
    rows: np.ndarray,
    i: int,
    t: float,
    state: LunarState,
    mass: float,
    pointing: Vector,
    thrust: float,
) -> None:
    """Write one point of a track into a row."""
    rows[i, 0], rows[i, 7], rows[i, 11] = t, mass, thrust
    rows[i, 1], rows[i, 2], rows[i, 3] = state[0], state[1], state[2]
    rows[i, 4], rows[i, 5], rows[i, 6] = state[3], state[4], state[5]
    rows[i, 8], rows[i, 9], rows[i, 10] = pointing[0], pointing[1], pointing[2]


def gravity_loss(track: DescentTrack) -> float:
    """Return what gravity adds to the speed on the way down [m/s]: less than zero on the way up.

    The integral of gravity along the velocity, by the trapezoidal rule.
    """
    radius = np.linalg.norm(track.place, axis=1)
    pull = MU_MOON / radius**2 * -track.climb / np.maximum(track.speed, 1e-9)
    return _integral(track.t, pull)


def turning_loss(track: DescentTrack, thrust: float) -> float:
    """Return what thrust across the track costs [m/s], of a constant `thrust` [N]."""
    ahead = np.sqrt(np.clip(1.0 - track.pointing[:, 1] ** 2, 0.0, 1.0))
    return _integral(track.t, thrust / track.mass * (1.0 - ahead))


def _integral(t: np.ndarray, values: np.ndarray) -> float:
    return float(np.sum(np.diff(t) * (values[1:] + values[:-1]) / 2.0))
