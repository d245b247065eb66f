"""Does the ascent stage reach the ship, clear of terrain and in contact; can the ship rescue it?"""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.finding import Finding, Severity
from mplan.contingencies import rescue
from mplan.flight.record import BEHIND, Flight
from mplan.flight.rendezvous import Rendezvous
from mplan.physics import constants as c
from mplan.physics.rendezvous.meeting import TERMINAL
from mplan.scenario.figures import Figures, Measured, amount, apart, at_least

LEG = "rendezvous"
LEFT = "an ascent stage left in its insertion orbit"
SHIP = "estimate, from what the ship's later burns leave of its propellant"


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield findings on the rendezvous, none where a mission has none."""
    flown = flight.end.rendezvous
    if flown is None:
        return
    yield from _fits(flown)
    yield from _terrain(flight, flown)
    yield from _in_contact(flown)
    yield from _rescue(flight, flown)


def _finding(flown: Rendezvous, check: str, text: str, figures: Figures, basis: str) -> Finding:
    return Finding("stops the flight", check, LEG, text, figures, basis, (flown.element,))


def _fits(flown: Rendezvous) -> Iterator[Finding]:
    if flown.misfit:
        planned, phase = apart(flown.planned / c.DEG, flown.phase / c.DEG)
        text = (
            f"the {flown.meeting.terms.schedule} rendezvous does not fit the ship's position at "
            f"insertion: {flown.misfit}"
        )
        least = flown.phase < flown.planned
        measure = Measured(flown.planned / c.DEG, flown.phase / c.DEG, "deg", least=least)
        said = f"the ship {planned} deg ahead at insertion", f"{phase} deg ahead"
        figures = Figures(*said, measure)
        basis = "the orbits of both and the scenario's [rendezvous]"
        yield _finding(flown, LEG, text, figures, basis)


def _terrain(flight: Flight, flown: Rendezvous) -> Iterator[Finding]:
    """Yield a finding for an orbit that comes too near the ground."""
    ground = c.R_MOON + flight.scenario.site.elevation
    height, least = flown.meeting.lowest - ground, flight.scenario.descent.terrain_margin
    if height < least:
        figures = at_least(least / 1e3, height / 1e3, "km")
        text = (
            f"an orbit of the rendezvous comes down to {figures.found} over the ground at the "
            "landing site"
        )
        yield _finding(flown, "terrain", text, figures, "descent.terrain_margin")


def _in_contact(flown: Rendezvous) -> Iterator[Finding]:
    """Tell if the burn that sets out for the ship is out of contact: the crew fly it alone."""
    burn = next(burn for burn in flown.burns if burn.name == TERMINAL)
    if burn.contact == BEHIND:
        yield Finding(
            severity="for information",
            check="contact",
            event=LEG,
            text=f"{burn.name} is behind the Moon, out of contact",
            figures=Figures("Earth in sight", burn.contact),
            basis="geometry",
            subject=(flown.element,),
        )


def _rescue(flight: Flight, flown: Rendezvous) -> Iterator[Finding]:
    """Yield a finding where the ship cannot rescue the ascent stage, or only out of its margins."""
    way = rescue.adequate(flight, next(rescue.strandings(flown)))
    if way is None:
        text = f"the ship cannot rescue {LEFT}: no schedule reaches it"
        figures = Figures("a rendezvous by the ship", "none")
        yield _of_rescue(flown, "needs a decision", text, figures)
    elif way.left < 0.0:
        text = (
            f"the ship cannot rescue {LEFT}: it lacks {amount(-way.left, 0)} m/s for the return "
            "to Earth"
        )
        figures = at_least(way.total, way.total + way.left, "m/s", 0)
        yield _of_rescue(flown, "needs a decision", text, figures)
    elif way.left < way.reserved:
        used = amount(way.reserved - way.left, 0)
        text = f"rescue of {LEFT} draws {used} m/s from the ship's reserve"
        figures = at_least(way.reserved, way.left, "m/s", 0, of="reserved")
        yield _of_rescue(flown, "for information", text, figures)


def _of_rescue(flown: Rendezvous, severity: Severity, text: str, figures: Figures) -> Finding:
    subject = (flown.host.element, flown.host.engine)
    return Finding(severity, "rescue", LEG, text, figures, SHIP, subject)
