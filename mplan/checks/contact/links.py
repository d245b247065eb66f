"""Radio links along the mission: what each leaves over what its data rate requires.

Of each craft that is followed, the radio that works is the one that radiates most of its cabin's
and of those of what it is joined to, other cabins apart. A link is looked at while the station sees
the craft. Antennas point at each other: attitudes are not examined. A relay is used
while no station sees the craft; the link to it is worked out, not the one from it on to Earth.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

import numpy as np

from mplan.checks.contact.followed import FollowedCraft
from mplan.checks.contact.watchers import (
    RelayWatcher,
    StationWatcher,
    Watcher,
    every_watcher,
)
from mplan.flight.record import Flight
from mplan.physics.contact import link
from mplan.scenario import Element, Scenario
from mplan.scenario.launch_site import StationSite
from mplan.scenario.radio.link import CommandLink, ElementRadio
from mplan.scenario.stated import stated

Direction = Literal["to Earth", "from Earth", "to a relay"]
DIRECTIONS: tuple[Direction, ...] = ("to Earth", "from Earth", "to a relay")
TO_RELAY: Direction = "to a relay"
ROUNDING = 1e-6  # s: a date in [TDB s] is good for 1e-7


class LeastMargin(NamedTuple):
    """Where a link has its least margin: `margin` [dB] at `elapsed` [s], over `distance` [m].

    `closing_rate` [bit/s] is what it carries there with the wanted margin kept.
    """

    margin: float
    elapsed: float
    distance: float
    closing_rate: float


@dataclass(frozen=True)
class LinkCurve:
    """The margin of one link over the mission, arrays (n,): none while it is not seen (NaN).

    `radio` is the element whose radio it is, `rate` [bit/s] and `wanted` [dB] as it states them.
    """

    direction: Direction
    element: str
    station: str
    radio: str
    rate: float
    wanted: float
    elapsed: np.ndarray  # s since lift-off
    distance: np.ndarray  # m
    margin: np.ndarray  # dB

    @property
    def least(self) -> LeastMargin:
        """Its least margin while it is seen."""
        at = int(np.nanargmin(self.margin))
        margin = float(self.margin[at])
        rate = self.rate * 10.0 ** ((margin - self.wanted) / 10.0)
        return LeastMargin(margin, float(self.elapsed[at]), float(self.distance[at]), rate)

    def at(self, elapsed: float) -> float | None:
        """Return the margin [dB] at a time of the mission; None where it is not seen."""
        near = int(np.argmin(np.abs(self.elapsed - elapsed)))
        value = float(self.margin[near])
        return None if np.isnan(value) else value


def of(flight: Flight, followed: Sequence[FollowedCraft]) -> tuple[LinkCurve, ...]:
    """Return the links of craft that are followed, as far as they are seen, station by station.

    None where no element states a radio, or no station what it receives or sends with.
    """
    if all(each.radio is None for each in flight.scenario.elements.values()):
        return ()
    return tuple(x for craft in followed for x in _of_craft(flight, craft))


def best(curves: Sequence[LinkCurve]) -> tuple[LinkCurve, ...]:
    """Return of each craft, radio and direction the link over the best station at every time."""
    groups: dict[tuple[str, str, Direction], list[LinkCurve]] = {}
    for each in curves:
        groups.setdefault((each.element, each.radio, each.direction), []).append(each)
    return tuple(_best(group) for group in groups.values())


def _best(group: list[LinkCurve]) -> LinkCurve:
    first = group[0]
    every_margin = np.array([each.margin for each in group])
    which = np.argmax(np.where(np.isnan(every_margin), -np.inf, every_margin), axis=0)
    rows = np.arange(len(which))
    distance = np.array([each.distance for each in group])[which, rows]
    return LinkCurve(
        first.direction,
        first.element,
        "best of all",
        first.radio,
        first.rate,
        first.wanted,
        first.elapsed,
        _kept(distance),
        _kept(every_margin[which, rows]),
    )


def _of_craft(flight: Flight, craft: FollowedCraft) -> Iterator[LinkCurve]:
    elapsed, watchers = _kept(craft.t - flight.end.lift_off), every_watcher(flight)
    pairs = list(zip(watchers, craft.seen, strict=True))
    direct = np.any([clear.least >= 0.0 for each, clear in pairs if not each.is_relay], axis=0)
    for watcher, clear in pairs:
        sees = (clear.least >= 0.0) & ~(direct & watcher.is_relay)
        distance = _kept(np.linalg.norm(watcher.places(craft.t) - craft.r, axis=1))
        for name, used in _used(flight, craft.element, elapsed).items():
            radio, seen = radio_of(flight.scenario, name), used & sees
            for direction in DIRECTIONS if seen.any() else ():
                found = _link_with(watcher, direction, radio, distance)
                if found is not None:
                    margin = _kept(np.where(seen, found[1], np.nan))
                    about = direction, craft.element, watcher.name, name, found[0]
                    yield LinkCurve(*about, radio.wanted_margin, elapsed, distance, margin)


def _link_with(
    watcher: Watcher, direction: Direction, radio: ElementRadio, distance: np.ndarray
) -> tuple[float, np.ndarray] | None:
    """Return the rate and margins of a link with a station or a relay; None if it is none."""
    if isinstance(watcher, RelayWatcher):
        merit = watcher.relay.g_over_t
        if direction != TO_RELAY or merit is None:
            return None
        density = link.density_ratio(_eirp(radio), merit, radio.losses, distance, radio.frequency)
        return radio.rate, link.margin(density, radio.rate, radio.required_ebn0)
    if direction == TO_RELAY or not isinstance(watcher, StationWatcher):
        return None
    return link_margin(direction, radio, watcher.site, distance)


def _used(flight: Flight, element: str, elapsed: np.ndarray) -> dict[str, np.ndarray]:
    """Return at which times the radio of which element works for a craft.

    At the moment between two events it is that of the later one: what has left has its own.
    """
    found: dict[str, np.ndarray] = {}
    last = flight.passages[-1] if flight.passages else None
    for each in flight.passages:
        name = at_work(flight.scenario, each.before.joined(element), element)
        if name is not None:
            until = each.after.elapsed + (ROUNDING if each is last else -ROUNDING)
            during = (elapsed > each.before.elapsed - ROUNDING) & (elapsed < until)
            found[name] = found.get(name, np.zeros(len(elapsed), dtype=bool)) | during
    return found


def at_work(scenario: Scenario, craft: Sequence[str], cabin: str) -> str | None:
    """Return the element of a craft whose radio works for a cabin, or None without any."""
    have = [x for x in craft if _serves(scenario.elements[x], x == cabin)]
    return max(have, key=lambda x: _eirp(radio_of(scenario, x)), default=None)


def _serves(element: Element, own: bool) -> bool:
    """Tell whether a joined element has a radio for a cabin: its own, or no other cabin's."""
    return element.radio is not None and (own or not element.seats)


def radio_of(scenario: Scenario, name: str) -> ElementRadio:
    """Return the radio of an element that has one."""
    return stated(scenario.elements[name].radio, f"[elements.{name}.radio]")


def _eirp(radio: ElementRadio) -> float:
    """Return the radiated power [dBW], losses apart."""
    return float(link.decibels(radio.power)) + radio.antenna_gain


def link_margin(
    direction: Direction, radio: ElementRadio, site: StationSite, distance: np.ndarray
) -> tuple[float, np.ndarray] | None:
    """Return the rate [bit/s] of a link and its margins [dB] over a `distance` (n,) [m].

    None where one end is not stated.
    """
    sent: ElementRadio | CommandLink | None
    if direction == "to Earth":
        sent, merit = radio, received_by(site)
        eirp: float | None = _eirp(radio)
    else:
        sent, eirp = radio.command, site.eirp
        merit = radio.command.g_over_t if radio.command else None
    if sent is None or eirp is None or merit is None:
        return None
    density = link.density_ratio(eirp, merit, sent.losses, distance, sent.frequency)
    return sent.rate, link.margin(density, sent.rate, sent.required_ebn0)


def received_by(site: StationSite) -> float | None:
    """Return G/T [dB/K] of a station; None where it is not stated."""
    if site.antenna_gain is None or site.noise_temperature is None:
        return site.g_over_t
    return link.figure_of_merit(site.antenna_gain, site.noise_temperature)


def _kept(values: np.ndarray) -> np.ndarray:
    values.setflags(write=False)
    return values
