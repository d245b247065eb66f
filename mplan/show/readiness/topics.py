"""Which cautions belong on a card."""

from __future__ import annotations

from mplan.cautions import CAUTIONS
from mplan.studies.cards import EventCard

STUDY, PROPELLANTS, RANGE, LANDING, ENTRY = CAUTIONS
LANDING_LEGS = ("descent-orbit insertion", "powered descent", "lunar ascent", "rendezvous")


def cautions(card: EventCard) -> tuple[str, ...]:
    """Return the cautions of a card: that of every output first, then those of its event."""
    burn, do = card.passage.burn, card.passage.event.do
    found = [STUDY]
    if do == "lift-off" or (burn is not None and burn.leg == "climb"):
        found.append(RANGE)
    if burn is not None or "propellant" in do:
        found.append(PROPELLANTS)
    if do in ("land", "stay") or (burn is not None and burn.leg in LANDING_LEGS):
        found.append(LANDING)
    if do in ("enter", "splash", "transfer crew", "stay"):
        found.append(ENTRY)
    return tuple(found)
