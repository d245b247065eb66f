"""Ways out of a flown mission: its whole coverage by processes, or one failure at one time."""

from mplan.studies.ways_out.asked import WaysAsked, at
from mplan.studies.ways_out.whole import of

__all__ = ["WaysAsked", "at", "of"]
