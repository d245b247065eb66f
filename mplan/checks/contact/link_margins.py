"""Do the radio links keep their margin at the Moon, where they are longest?

Asked at burns and landing events there that Earth sees, over the best station at the time. The
distance is that of the Moon's centre: on an orbit at 110 km the margin is 0.04 dB less at most, on
one that reaches 30,000 km up 0.7 dB.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from mplan.checks.contact import links
from mplan.checks.contact.landing_seen import earth_is_up
from mplan.checks.contact.links import Direction
from mplan.checks.contact.watchers import stations_of
from mplan.checks.finding import Finding
from mplan.flight.record import BEHIND, Flight, Passage
from mplan.physics.bodies import ephemeris
from mplan.physics.contact.ground_stations import elevations, places
from mplan.scenario.figures import at_least
from mplan.scenario.launch_site import StationSite
from mplan.scenario.radio.rates import rate_in_words
from mplan.scenario.wording import plain

EQUATION = "link equation from the Moon's centre, antennas pointed at each other, the best station"
DIRECT: tuple[Direction, ...] = ("to Earth", "from Earth")
AT_THE_MOON = ("undock", "dock", "land", "lift off")


class _LinkAsked(NamedTuple):
    """An event at the Moon, and the radio that works then."""

    event: str
    elapsed: float
    radio: str


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield a finding for each link that is below its wanted margin: where it is lowest."""
    asked = [x for each in flight.passages if (x := _asked(flight, each)) is not None]
    if not asked or not flight.scenario.stations or not flight.dated:
        return
    sky = _sky(flight, flight.end.lift_off + np.array([each.elapsed for each in asked]))
    for name in dict.fromkeys(each.radio for each in asked):
        uses = np.array([each.radio == name for each in asked])
        for direction in DIRECT:
            margins = _best(flight, name, direction, sky)
            if margins is not None and np.isfinite(margins[uses]).any():
                low = int(np.argmin(np.where(uses, margins, np.inf)))
                yield from _low(flight, asked[low], direction, float(margins[low]))


def _asked(flight: Flight, each: Passage) -> _LinkAsked | None:
    """Return what is asked of an event; None where it is not at the Moon, or has no radio."""
    burn = each.burn if each.burn is not None and each.burn.lit else None
    if burn is not None and burn.contact == BEHIND:
        return None
    if each.before.moon is None or not (burn or each.moment.kind in AT_THE_MOON):
        return None
    if each.moment.kind == "land" and not earth_is_up(flight, each.moment.elapsed):
        return None
    craft = burn.craft if burn else each.moment.craft
    crewed = [x for x in craft if each.before.crew.get(x)]
    name = links.at_work(flight.scenario, craft, (crewed or list(craft) or [""])[-1])
    if name is None:
        return None
    return _LinkAsked(*((burn.name, burn.elapsed) if burn else _of_moment(each)), name)


def _of_moment(each: Passage) -> tuple[str, float]:
    return each.moment.event, each.moment.elapsed


def _sky(flight: Flight, t: np.ndarray) -> list[tuple[StationSite, np.ndarray, np.ndarray]]:
    """Return for each station how far off the Moon is (n,) [m] at times, and whether it is up."""
    moon = ephemeris.moon(t).r
    seen = zip(flight.scenario.stations.values(), stations_of(flight.scenario), strict=True)
    return [
        (
            site,
            np.linalg.norm(places(station, t) - moon, axis=1),
            elevations(station, moon, t) >= station.lowest,
        )
        for site, station in seen
    ]


def _best(
    flight: Flight,
    name: str,
    direction: Direction,
    sky: list[tuple[StationSite, np.ndarray, np.ndarray]],
) -> np.ndarray | None:
    """Return the margin [dB] over the best station that has the Moon up; infinite without any."""
    radio, found = links.radio_of(flight.scenario, name), []
    for site, away, up in sky:
        link = links.link_margin(direction, radio, site, away)
        if link is not None:
            found.append(np.where(up, link[1], -np.inf))
    best = np.max(found, axis=0) if found else None
    return None if best is None else np.where(np.isneginf(best), np.inf, best)


def _low(
    flight: Flight, each: _LinkAsked, direction: Direction, margin: float
) -> Iterator[Finding]:
    radio = links.radio_of(flight.scenario, each.radio)
    if margin >= radio.wanted_margin:
        return
    sent = radio if direction == "to Earth" else radio.command
    asked = sent.rate if sent is not None else 0.0
    carried = asked * 10.0 ** ((margin - radio.wanted_margin) / 10.0)
    how = "does not close" if margin < 0.0 else "keeps less than the margin wanted"
    text = (
        f"the link {direction} of {plain(each.radio)} {how} at {each.event} with "
        f"{rate_in_words(asked)}: {rate_in_words(carried)} would keep it"
    )
    basis = f"elements.{each.radio}.radio.wanted_margin; {EQUATION}"
    figures = at_least(radio.wanted_margin, margin, "dB")
    yield Finding("needs a decision", "contact", each.event, text, figures, basis, (each.radio,))
