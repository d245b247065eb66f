"""How long one craft waits on its own circle until another is where a rendezvous asks for it."""

from __future__ import annotations

from math import pi, sqrt

from mplan.physics.arcs.orbit import Orbit
from mplan.physics.constants import DAY
from mplan.physics.rendezvous.impulses import NoMeeting
from mplan.physics.rendezvous.relative import phase_angle

LONGEST = 10.0 * DAY  # s: two orbits that take longer to come round are no plan


def catch_up(gap: float, faster: float, near: float = 0.0) -> float:
    """Return the time [s] in which a `gap` [rad, any turn] closes at a rate [rad/s] of either sign.

    Of the times, a turn of the two apart, the one nearest to `near` [s]; the first by default.
    NoMeeting where a turn takes longer than ten days: the two orbits are nearly alike.
    """
    turn = 2.0 * pi
    longest = turn / abs(faster) if faster else float("inf")
    if longest > LONGEST:
        raise NoMeeting(
            "the two orbits are so nearly alike that neither gains on the other within "
            f"{LONGEST / DAY:.0f} d; one has to be lower"
        )
    first = (gap % turn) / faster if faster > 0.0 else (-gap % turn) / -faster
    return first + longest * max(0, round((near - first) / longest))


def wait_for(active: Orbit, target: Orbit, lead: float) -> float:
    """Return how long [s] the active craft goes round until the target is `lead` [rad] ahead.

    By the mean motion of both orbits.
    """
    return catch_up(phase_angle(active, target) - lead, _gain(active, target))


def still_to_wait(active: Orbit, target: Orbit, lead: float) -> float:
    """Return the same once that time has passed: what is left [s], or less than zero if it is late.

    The mean motion neglects how the field has changed both orbits meanwhile.
    """
    gap = (phase_angle(active, target) - lead + pi) % (2.0 * pi) - pi
    return gap / _gain(active, target)


def _gain(active: Orbit, target: Orbit) -> float:
    """Return by how much [rad/s] the active craft goes round faster."""
    return sqrt(active.mu / active.a**3) - sqrt(target.mu / target.a**3)
