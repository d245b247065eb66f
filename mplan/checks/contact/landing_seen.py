"""Is the landing seen from Earth? One on the far side, without a relay, is a decision."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from mplan.checks.contact.watchers import every_watcher
from mplan.checks.finding import Finding
from mplan.flight.record import Flight
from mplan.physics.bodies import ephemeris, selenography
from mplan.physics.constants import DEG
from mplan.physics.contact import sightings
from mplan.scenario.figures import Figures, Measured, apart

RISEN = "a level horizon and a straight line of sight, at touchdown"


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield a finding where neither a station nor a relay sees the site at touchdown, and why.

    With no stations stated it is asked whether Earth's centre stands over the site's horizon.
    """
    for moment in flight.moments:
        if moment.kind == "land" and flight.dated:
            yield from _unseen(flight, flight.end.lift_off + moment.elapsed)


def earth_is_up(flight: Flight, elapsed: float) -> bool:
    """Tell whether Earth's centre is over the site's level horizon at a time [s since lift-off]."""
    return _height(*_place(flight, flight.end.lift_off + elapsed)) >= 0.0


def _place(flight: Flight, t: float) -> tuple[np.ndarray, np.ndarray]:
    """Return where the site is (1, 3), GCRS [m], and when (1,)."""
    site = flight.scenario.site
    place = selenography.site_position(site.latitude, site.longitude, t, site.elevation)
    return (ephemeris.moon(t).r + place)[None, :], np.array([t])


def _height(r: np.ndarray, when: np.ndarray) -> float:
    return float(sightings.beside_moon(r, np.zeros((1, 3)), when)[0])


def _unseen(flight: Flight, t: float) -> Iterator[Finding]:
    r, when = _place(flight, t)
    watchers = every_watcher(flight)
    seen = [each.clearance(r, when) for each in watchers]
    if seen and sightings.best(seen)[0] >= 0.0:
        return
    relays = [each for each in watchers if each.is_relay]
    none = "no contact, and no relay sees it" if relays else "no contact without a relay"
    height = _height(r, when)
    if height < 0.0:
        found = apart(0.0, height / DEG)[1]
        measure = Measured(0.0, height / DEG, "deg", least=True)
        text = f"Earth is below the landing site's horizon at touchdown: {none}"
        yield _decision(text, Figures("Earth at 0.0 deg at least", f"{found} deg", measure))
    elif seen:
        text = f"no ground station sees the Moon at touchdown: {none}"
        yield _decision(text, Figures("one station at least", "none"))


def _decision(text: str, figures: Figures) -> Finding:
    return Finding("needs a decision", "contact", "landing", text, figures, RISEN)
