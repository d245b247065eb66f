"""One way out: what burns, what that takes and what there is, when and where the crew are home."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from mplan.flight.state import Arc, Craft
from mplan.physics.arcs.lunar_orbit import LunarOrbit

SPLASH = "splash"
DOCKED = "docked to the ship"  # from where the ship's own ways out go on


class WayBurn(NamedTuple):
    """A burn of a way out, at `elapsed` [s] since lift-off; `required`, `available` in [m/s].

    `available` is what the tanks still give this engine there, after the burns before it.
    """

    what: str
    element: str
    engine: str
    elapsed: float
    required: float
    available: float

    @property
    def margin(self) -> float:
        """What is left after it [m/s]; below zero what it lacks."""
        return self.available - self.required


class LandingPlace(NamedTuple):
    """Where a way out comes down on Earth: geodetic latitude and longitude [rad]."""

    latitude: float
    longitude: float


class MoonCoast(NamedTuple):
    """An orbit about the Moon that a `craft` goes on, as it stands at the orbit's own time."""

    what: str
    orbit: LunarOrbit
    craft: Craft


class StillThere(NamedTuple):
    """What the crew still have at the end of a way out: by the least supply, and by energy.

    `days` [d] that the supply which runs out first would still last, below zero where it lacks;
    `energy` a share of what the cabin and what serves it could store. None where not worked out.
    """

    days: float | None = None
    supply: str = ""
    energy: float | None = None


class Shelter(NamedTuple):
    """A sound `cabin` in which the crew of one that leaks live `until` [s since lift-off]."""

    cabin: str
    until: float


@dataclass(frozen=True)
class WayOut:
    """One way out of a stretch, as flown; times in [s] since lift-off.

    `closed` says why it does not lead home, "" where it does. `ends` is "splash", or what the way
    leads to first (`DOCKED`), from where another way goes on. `home` is when the crew
    are at that end; `lands` where, of a splash. `craft` is what burns, as joined then. Once a cabin
    leaks `suited` is how long its crew are in suits [s], and `shelter` where they are without.
    """

    name: str
    called: float
    craft: Craft
    burns: tuple[WayBurn, ...] = ()
    ends: str = SPLASH
    home: float | None = None
    lands: LandingPlace | None = None
    left: StillThere | None = None
    closed: str = ""
    note: str = ""
    estimate: str = ""  # where a figure comes from that is not flown
    arcs: tuple[Arc, ...] = ()  # the coasts that it flies, in turn, so that they can be drawn
    orbits: tuple[MoonCoast, ...] = ()  # those about the Moon that it is on, in turn, likewise
    suited: float = 0.0
    shelter: Shelter | None = None

    @property
    def required(self) -> float:
        """What all its burns take [m/s]."""
        return sum(burn.required for burn in self.burns)

    @property
    def margin(self) -> float | None:
        """What its tightest burn leaves [m/s]; None of a way without burns."""
        return min((burn.margin for burn in self.burns), default=None)

    @property
    def reason(self) -> str:
        """Why it is closed, with its name; the burn that the name tells of is not named again."""
        named = (f"{burn.what}: " for burn in self.burns if burn.what in self.name)
        again = next((each for each in named if self.closed.startswith(each)), "")
        return f"{self.name}: {self.closed.removeprefix(again)}"
