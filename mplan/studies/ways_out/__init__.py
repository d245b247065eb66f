"""Ways out of a flown mission: its whole coverage by processes, or one failure at one time."""

from mplan.contingencies.ways_out.cells import cabins_of as cabins
from mplan.studies.ways_out.asked import (
    WaysAsked,
    at,
    cabin_named,
    failure_named,
    may_fail,
    time_named,
)
from mplan.studies.ways_out.whole import of

__all__ = [
    "WaysAsked",
    "at",
    "cabin_named",
    "cabins",
    "failure_named",
    "may_fail",
    "of",
    "time_named",
]
