"""Is the landing seen from Earth? One on the far side, without a relay, is a decision."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from mplan.checks.contact.followed import stations_of
from mplan.checks.finding import Finding
from mplan.flight.record import Flight
from mplan.physics.bodies import ephemeris, selenography
from mplan.physics.constants import DEG
from mplan.physics.contact import sightings
from mplan.scenario.figures import Figures, Measured, apart

RISEN = "a level horizon and a straight line of sight; a relay is not modelled"


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield a finding where no station sees the site at touchdown, and why.

    With no stations stated it is asked whether Earth's centre stands over the site's horizon.
    """
    for moment in flight.moments:
        if moment.kind == "land" and flight.dated:
            yield from _unseen(flight, flight.end.lift_off + moment.elapsed)


def _unseen(flight: Flight, t: float) -> Iterator[Finding]:
    site, when = flight.scenario.site, np.array([t])
    place = selenography.site_position(site.latitude, site.longitude, t, site.elevation)
    r = (ephemeris.moon(t).r + place)[None, :]
    height = float(sightings.beside_moon(r, np.zeros((1, 3)), when)[0])
    if height < 0.0:
        found = apart(0.0, height / DEG)[1]
        measure = Measured(0.0, height / DEG, "deg", least=True)
        text = "Earth is below the landing site's horizon at touchdown: no contact without a relay"
        figures = Figures("Earth at 0.0 deg at least", f"{found} deg", measure)
        yield _decision(text, figures)
        return
    stations = stations_of(flight.scenario)
    seen = [sightings.clearance(each, r, when) for each in stations]
    if seen and sightings.best(seen)[0] < 0.0:
        text = "no ground station sees the Moon at touchdown: no contact without a relay"
        yield _decision(text, Figures("one station at least", "none"))


def _decision(text: str, figures: Figures) -> Finding:
    return Finding("needs a decision", "contact", "landing", text, figures, RISEN)
