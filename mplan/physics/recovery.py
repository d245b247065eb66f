"""Home to a longitude: the flight's time trimmed until the Earth has turned the right place up.

From the Moon every plane leads down near the point opposite to it: which latitude that is, the
date decides, and the plane moves it by a degree or two. The longitude is a matter of time: an
hour later is 15 deg further west.
"""

from __future__ import annotations

from mplan.physics import constants as c
from mplan.physics import homeward
from mplan.physics.downrange import place_ahead, wrapped
from mplan.physics.homeward import AIM, ROUGH, Homeward, first_guess
from mplan.physics.lunar_orbit import Orbit, coast

NEAR = 60.0  # s of timing, a quarter of a degree: what the trim at the end takes up
EXACT = 0.5  # s, 200 m on the ground
TRIES = 6


def target(
    orbit: Orbit, *, time_of_flight: float, entry_angle: float, longitude: float, distance: float
) -> Homeward:
    """Return the return of `homeward.target` whose flight ends at a `longitude` [rad].

    `distance` [m] leads on from the entry interface. Of the times of flight that do, the one
    nearest to `time_of_flight` [s], half a day off at most. NoArc if there is none.
    """

    def late(home: Homeward) -> float:
        """Return by how much later [s] the arc should arrive."""
        end = home.interface
        there = place_ahead(end.r, end.v, end.t, distance)[1]
        return wrapped(there - longitude) / c.W_EARTH

    for _ in range(TRIES):
        wait, burn = first_guess(orbit, time_of_flight, entry_angle)
        rough = homeward.leave(coast(orbit, wait), burn, time_of_flight, entry_angle, ROUGH)
        shift = late(rough)
        time_of_flight += shift
        if abs(shift) < NEAR:
            break
    home = homeward.target(orbit, time_of_flight=time_of_flight, entry_angle=entry_angle)
    for _ in range(TRIES):
        shift = late(home)
        if abs(shift) < EXACT:
            break
        time_of_flight += shift
        home = homeward.leave(home.leaving, home.burn, time_of_flight, entry_angle, AIM)
    return home
