"""The order of events, judged before anything is flown.

One walk over the events keeps what is joined, who is where and what is gone; nothing is flown,
and no delta-v is asked for. What is found stops the flight: what follows a wrong order is not
worth a number.
"""

from mplan.flight.sequence.fault import Fault
from mplan.flight.sequence.rehearsal import faults

__all__ = ["Fault", "faults"]
