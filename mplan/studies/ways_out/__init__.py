"""Ways out of a flown mission: its whole coverage by processes, or one failure at one time."""

from mplan.studies.ways_out.asked import (
    WaysAsked,
    at,
    cabin_named,
    failure_named,
    may_fail,
    seconds,
)
from mplan.studies.ways_out.whole import of

__all__ = ["WaysAsked", "at", "cabin_named", "failure_named", "may_fail", "of", "seconds"]
