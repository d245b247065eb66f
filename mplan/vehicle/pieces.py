"""What an element is made of: stretches that fill its length, and tanks in their places."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from mplan.vehicle.tankage import Vessel

Kind = Literal["engines", "structure", "dome", "cylinder", "tanks", "as stated"]


@dataclass(frozen=True)
class Piece:
    """A stretch of an element: `bottom` above its lower end, `length` and `diameter` [m]."""

    name: str
    kind: Kind
    bottom: float
    length: float
    diameter: float


@dataclass(frozen=True)
class Placed:
    """A tank in its place: `shoulder` is the station [m] of its cylinder's lower edge.

    `volume` [m3] is what it must hold, `count` how many equal ones stand there, `load`
    [kg] what all of them hold, those of the element's other bodies too.
    """

    tank: str
    propellant: str
    load: float
    vessel: Vessel
    shoulder: float
    count: int
    volume: float

    @property
    def spare(self) -> float:
        """What domes alone hold beyond what one tank must hold [m3]; zero for most."""
        return max(0.0, self.vessel.volume - self.volume)


@dataclass(frozen=True)
class Layout:
    """An element from its lower end up: pieces that fill its length, and the tanks in them."""

    pieces: tuple[Piece, ...]
    tanks: tuple[Placed, ...] = ()

    @cached_property
    def length(self) -> float:
        """What the pieces add up to [m]."""
        return sum(piece.length for piece in self.pieces)
