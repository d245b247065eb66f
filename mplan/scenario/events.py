"""Events: what will happen, in order. `do` says which kind."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cached_property
from typing import Annotated, Literal, get_args

from pydantic import Field

from mplan.scenario.climb import After
from mplan.scenario.quantities import Mass, Quantity, Time, Turn
from mplan.scenario.table import Count, Key, Name, TomlTable
from mplan.scenario.tank_names import PropellantName

BurnLeg = Literal[
    "climb",
    "Earth-orbit rendezvous",
    "translunar injection",
    "outbound correction",
    "hybrid transfer",
    "lunar-orbit insertion",
    "lunar-orbit plane change",
    "lunar-orbit apolune change",
    "lunar-orbit circularisation",
    "orbit upkeep",
    "lunar-orbit rendezvous",
    "descent-orbit insertion",
    "powered descent",
    "lunar ascent",
    "rendezvous",
    "trans-Earth injection",
    "homeward correction",
]
# Each a row of burns of one engine, in one event.
SERIES: tuple[BurnLeg, ...] = ("Earth-orbit rendezvous", "lunar-orbit rendezvous", "rendezvous")
CoastLeg = Literal["parking orbit", "translunar coast", "descent coast", "transearth coast"]

TransferLoss = Annotated[float, Quantity("fraction", at_least="0 %", at_most="50 %")]
SettlingAcceleration = Annotated[
    float,
    Quantity("acceleration", at_least="0.00001 m/s2", at_most="1 m/s2", example="0.001 m/s2"),
]
Apolune = Annotated[
    float, Quantity("length", at_least="15 km", at_most="30000 km", example="900 km")
]
Elements = Annotated[tuple[Key, ...], Field(min_length=1)]


class _Event(TomlTable):
    name: Name | None = Field(None, description="What people call it, if not its kind or leg.")
    control: Key | None = Field(
        None,
        description="Active guidance element in control, if not the element that burns.",
    )
    ship: Key | None = Field(
        None,
        description="In the file's own list: the ship launched on its own that it happens to; "
        "default: the main ship.",
        examples=["lander"],
    )

    @cached_property
    def title(self) -> str:
        """The event's name, else its leg, else a phrase made of what it does and to what."""
        return self.name or getattr(self, "leg", None) or self._phrase()

    def _phrase(self) -> str:
        return _kind(type(self))


def _kind(event: type[_Event]) -> str:
    """Return the one word or phrase that `do` may be for a kind of event."""
    return get_args(event.model_fields["do"].annotation)[0]


class LiftOffEvent(_Event):
    """The stack leaves the pad; the climb burns follow."""

    do: Literal["lift-off"] = Field(description="Kind of event.")


class BurnEvent(_Event):
    """An engine flies a leg of the mission."""

    do: Literal["burn"] = Field(description="Kind of event.")
    leg: BurnLeg = Field(description="Which leg is flown.")
    element: Key = Field(description="Element whose engine burns.")
    engine: Key | None = Field(
        None, description="Engine of that element, if not its one main engine."
    )
    turn: Turn | None = Field(
        None,
        description="Of a plane change: by how much the course turns, to the north where it is "
        "made; default: what brings the site into the plane for the next landing or lunar "
        "lift-off, or, in the capture orbit, orbits.capture_plane_change.",
        examples=["-3 deg"],
    )
    apolune: Apolune | None = Field(
        None,
        description="Of an apolune change: the apolune that it leads to, above the 1737.4 km "
        "sphere; default: that of the lunar orbit or, with burns to come before it, what has them "
        "all last equally long.",
        examples=["900 km"],
    )
    beside: tuple[Key, ...] = Field(
        (),
        description="In the climb: elements that burn beside it from the same moment, such as "
        "boosters; each is dropped when it is empty.",
        examples=[["booster"]],
    )


class JettisonEvent(_Event):
    """Elements are jettisoned for good."""

    do: Literal["jettison"] = Field(description="Kind of event.")
    elements: Elements = Field(description="What is jettisoned.")
    at: After | None = Field(
        None,
        description="In the climb: when, counted from the ignition of the burn listed before it; "
        "default: when that burn is over.",
    )

    def _phrase(self) -> str:
        return f"jettison {_listed(self.elements)}"


class DockEvent(_Event):
    """Two craft join."""

    do: Literal["dock"] = Field(description="Kind of event.")
    element: Key = Field(description="Element that moves up.")
    target: Key = Field(description="Element it docks to.")
    duration: Time = Field(description="How long it takes.", examples=["1 h"])

    def _phrase(self) -> str:
        return f"dock {_plain(self.element)} to {_plain(self.target)}"


class UndockEvent(_Event):
    """Elements leave as one craft, and remain in flight."""

    do: Literal["undock"] = Field(description="Kind of event.")
    elements: Elements = Field(description="What leaves, together.")
    duration: Time = Field(description="How long it takes.", examples=["30 min"])

    def _phrase(self) -> str:
        return f"undock {_listed(self.elements)}"


class TransferCrewEvent(_Event):
    """Crew move from one element to another."""

    do: Literal["transfer crew"] = Field(description="Kind of event.")
    crew: Count = Field(description="How many move.")
    origin: Key = Field(description="Element they leave.")
    target: Key = Field(description="Element they enter.")
    duration: Time = Field(description="How long it takes.", examples=["40 min"])

    def _phrase(self) -> str:
        return f"transfer crew to {_plain(self.target)}"


class TransferPropellantEvent(_Event):
    """Propellant is transferred from one element to another that is joined to it.

    Pumps, pressure and the heat of lines are not modelled: the duration and losses are as stated.
    """

    do: Literal["transfer propellant"] = Field(description="Kind of event.")
    origin: Key = Field(description="Element whose tanks give it.")
    target: Key = Field(description="Element whose tanks take it.")
    propellant: PropellantName = Field(
        description="Which; others take an event each.", examples=["liquid oxygen"]
    )
    amount: Mass | None = Field(
        None,
        description="What is to arrive; default: all that the origin can give, up to the target's "
        "capacity.",
        examples=["12 t"],
    )
    losses: TransferLoss | None = Field(
        None,
        description="Share of what leaves the origin that is lost, chilling lines and tanks down. "
        "Default: 3 % of what is kept cold, nothing of others (common practice, no source).",
        examples=["3 %"],
    )
    settling_acceleration: SettlingAcceleration | None = Field(
        None,
        description="What thrusters accelerate the joined craft by meanwhile, to keep propellant "
        "settled; what it adds in velocity is not credited. Default: none, propellant is held "
        "in its place otherwise.",
        examples=["0.001 m/s2"],
    )
    duration: Time = Field(description="How long it takes, chill-down included.", examples=["3 h"])

    def _phrase(self) -> str:
        return f"transfer {self.propellant} to {_plain(self.target)}"


class CoastEvent(_Event):
    """Nothing burns, for as long as a leg takes or for a stated time."""

    do: Literal["coast"] = Field(description="Kind of event.")
    leg: CoastLeg | None = Field(None, description="The leg that decides how long.")
    duration: Time | None = Field(None, description="How long, where no leg decides.")


class LandEvent(_Event):
    """Touchdown on the Moon."""

    do: Literal["land"] = Field(description="Kind of event.")

    def _phrase(self) -> str:
        return "touchdown on the Moon"


class StayEvent(_Event):
    """Time on the Moon, or in lunar orbit on a mission that does not land."""

    do: Literal["stay"] = Field(description="Kind of event.")
    duration: Time | None = Field(
        None, description="How long, if not the mission's surface_stay or lunar_orbit_stay."
    )

    def _phrase(self) -> str:
        return "stay at the Moon"


class EnterEvent(_Event):
    """An element meets the atmosphere."""

    do: Literal["enter"] = Field(description="Kind of event.")
    element: Key = Field(description="Element that brings the crew home.")

    def _phrase(self) -> str:
        return "atmospheric entry"


class SplashEvent(_Event):
    """Touchdown on Earth: the mission is over."""

    do: Literal["splash"] = Field(description="Kind of event.")

    def _phrase(self) -> str:
        return "splashdown"


KINDS = (
    LiftOffEvent,
    BurnEvent,
    JettisonEvent,
    DockEvent,
    UndockEvent,
    TransferCrewEvent,
    TransferPropellantEvent,
    CoastEvent,
    LandEvent,
    StayEvent,
    EnterEvent,
    SplashEvent,
)
EVENT_BY_KIND: dict[str, type[_Event]] = {_kind(kind): kind for kind in KINDS}

Event = Annotated[
    LiftOffEvent
    | BurnEvent
    | JettisonEvent
    | DockEvent
    | UndockEvent
    | TransferCrewEvent
    | TransferPropellantEvent
    | CoastEvent
    | LandEvent
    | StayEvent
    | EnterEvent
    | SplashEvent,
    Field(discriminator="do"),
]


def _plain(key: str) -> str:
    return key.replace("_", " ")


def _listed(keys: tuple[str, ...]) -> str:
    return " and ".join(filter(None, (", ".join(map(_plain, keys[:-1])), _plain(keys[-1]))))


def leg_of(event: Event) -> str | None:
    """Return the leg that an event burns for or coasts along, None where it has none."""
    return getattr(event, "leg", None)


def burns_of(events: Iterable[Event], leg: str) -> Iterator[BurnEvent]:
    """Yield the burns for a leg among events, in their order."""
    return (x for x in events if isinstance(x, BurnEvent) and x.leg == leg)


def has_burn(events: Iterable[Event], leg: str) -> bool:
    """Tell whether a burn for a leg is among events."""
    return any(True for _ in burns_of(events, leg))
