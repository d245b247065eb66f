"""An interval of lift-off times in which a launch leads to the Moon, told by flights in it."""

from __future__ import annotations

from typing import NamedTuple

from mplan.physics import constants as c
from mplan.physics.arcs.outbound import Outbound, Side

SHORTEST = c.MINUTE  # an interval that is shorter may be missed


class Interval(NamedTuple):
    """An interval of lift-off times, by flights in it in order: the first and last are its ends."""

    flights: tuple[Outbound, ...]

    @property
    def opens(self) -> Outbound:
        """The first flight."""
        return self.flights[0]

    @property
    def closes(self) -> Outbound:
        """The last flight."""
        return self.flights[-1]

    @property
    def side(self) -> Side:
        """The side on which the Moon is met."""
        return self.flights[len(self.flights) // 2].side

    def nearest(self, azimuth: float) -> tuple[Outbound, bool]:
        """Return the flight whose azimuth is the nearest to one [rad], and whether that lies in it.

        One that lies between two of the flights is yet to be flown: the nearer of the two.
        """
        best = min(self.flights, key=lambda each: abs(each.azimuth - azimuth))
        around = [each.azimuth for each in self.flights]
        return best, min(around) - 1e-9 <= azimuth <= max(around) + 1e-9
