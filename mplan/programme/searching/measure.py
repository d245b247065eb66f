"""By what one schedule is better than another: a whole number, the less the better.

By weight, least first: launches outside their stated windows, days beyond deadlines, the sum of
all launch days, and the days from rehearsals to the launches that they prepare.
"""

from __future__ import annotations

from mplan.programme.launching import Launching

GRAIN = 50  # a day of a launch against a day between rehearsal and launch; own choice
LATE = 100  # a day beyond a deadline against a day of any launch; own choice
OUTSIDE = 7500  # a launch outside its windows against a day of any launch, 20 years; own choice


def cost_of_day(each: Launching, day: int) -> int:
    """Return what it costs in the measure that a launch lifts off on `day` [d from today].

    One whose day is settled costs nothing: there is no choice.
    """
    if each.day is not None:
        return 0
    late = 0 if each.deadline is None else max(0, day - each.deadline)
    outside = bool(each.windows) and day > each.windows[-1][1]
    return GRAIN * (day + LATE * late + OUTSIDE * outside)
