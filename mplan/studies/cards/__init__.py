"""A card for each burn and event: what to fly, its limits, and what to do if it fails."""

from mplan.studies.cards.card import EventCard, IfItFails
from mplan.studies.cards.cards import count, of
from mplan.studies.cards.go_limits import MARGINS, GoLimit

__all__ = ["MARGINS", "EventCard", "GoLimit", "IfItFails", "count", "of"]
