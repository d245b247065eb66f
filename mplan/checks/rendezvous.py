"""Does the ascent stage meet the ship, over the hills and in contact, and could it be fetched?"""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.finding import Finding
from mplan.flight import rescue
from mplan.flight.record import BEHIND, Flight
from mplan.flight.rendezvous import Rendezvous
from mplan.physics import constants as c
from mplan.physics.rendezvous.meeting import TERMINAL
from mplan.scenario.wording import plain

LEG = "rendezvous"
LEFT = "an ascent stage left in its insertion orbit"


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield findings on the rendezvous, none where a mission has none."""
    flown = flight.end.rendezvous
    if flown is None:
        return
    yield from _fits(flown)
    yield from _over_the_hills(flight, flown)
    yield from _starts(flight, flown)
    yield from _in_contact(flown)
    yield from _rescue(flight, flown)


def _fits(flown: Rendezvous) -> Iterator[Finding]:
    if flown.misfit:
        schedule = flown.meeting.terms.schedule
        yield Finding(
            severity="stops the flight",
            check=LEG,
            event=LEG,
            text=f"the {schedule} rendezvous does not fit where the ship is at insertion: "
            f"{flown.misfit}",
            limit=f"the ship {flown.wanted / c.DEG:.1f} deg ahead at insertion",
            found=f"{flown.phase / c.DEG:.1f} deg ahead",
            basis="the orbits of both and the scenario's [rendezvous]",
            subject=(flown.element,),
        )


def _over_the_hills(flight: Flight, flown: Rendezvous) -> Iterator[Finding]:
    """Yield a finding for an orbit that comes too near the ground."""
    ground = c.R_MOON + flight.scenario.landing_site.elevation
    height, least = flown.meeting.lowest - ground, flight.scenario.descent.terrain_margin
    if height < least:
        yield Finding(
            severity="stops the flight",
            check="terrain",
            event=LEG,
            text=f"an orbit of the rendezvous comes down to {height / 1e3:.1f} km over the site's "
            "ground",
            limit=f"{least / 1e3:.1f} km at least",
            found=f"{height / 1e3:.1f} km",
            basis="descent.terrain_margin",
            subject=(flown.element,),
        )


def _starts(flight: Flight, flown: Rendezvous) -> Iterator[Finding]:
    """Yield a finding where an engine is started more often than it is qualified for."""
    element, name = flown.element, flown.burns[0].engine
    engine = flight.scenario.elements[element].engines[name]
    lit = flight.end.ledger.starts[element, name] + len(flown.burns) - 1
    if lit > engine.starts:
        called = f"{engine.label or plain(name)} of {plain(element)}"
        yield Finding(
            severity="stops the flight",
            check="starts",
            event=LEG,
            text=f"with the {len(flown.burns)} burns of the rendezvous {called} is started "
            f"{lit} times and is qualified for {engine.starts}",
            limit=f"{engine.starts} starts at most",
            found=f"{lit}",
            basis=f"elements.{element}.engines.{name}.starts",
            subject=(element, name),
        )


def _in_contact(flown: Rendezvous) -> Iterator[Finding]:
    """Tell if the burn that sets out for the ship is out of contact: it is then the crew's own."""
    burn = next(burn for burn in flown.burns if burn.name == TERMINAL)
    if burn.contact == BEHIND:
        yield Finding(
            severity="for information",
            check="contact",
            event=LEG,
            text=f"{burn.name} is behind the Moon, out of contact",
            limit="Earth in sight",
            found=burn.contact,
            basis="geometry",
            subject=(flown.element,),
        )


def _rescue(flight: Flight, flown: Rendezvous) -> Iterator[Finding]:
    """Yield a finding where the ship cannot fetch the ascent stage, or only out of its margins."""
    found = rescue.best(flight, next(rescue.strandings(flown)))
    if found is not None and found.left >= found.held:
        return
    severity, asked, there = "needs a decision", "a rendezvous by the ship", "none"
    text = f"the ship cannot fetch {LEFT}: no schedule brings it there"
    if found is not None:
        asked = f"{found.total:.0f} m/s, there and back"
        there = f"{found.total + found.left:.0f} m/s before the way home"
        text = f"the ship cannot fetch {LEFT}: it lacks {-found.left:.0f} m/s for the way home"
    if found is not None and found.left >= 0.0:
        severity = "for information"
        text = f"to fetch {LEFT} uses up {found.held - found.left:.0f} m/s of the ship's margins"
    yield Finding(
        severity=severity,
        check="rescue",
        event=LEG,
        text=text,
        limit=asked,
        found=there,
        basis="what the ship's later burns leave it",
        subject=(flown.host.element, flown.host.engine),
    )
