"""What a flight meets that its plan does not know: errors of burns, another day's air, dates kept.

A flight with them is one of the many that a plan may become. It is flown as it was planned: its
climb is held to the planned attitudes, it lifts off on the planned date and coasts along the
planned arc to the Moon. A correction is as large as its errors ask for, not as large as the plan
allows for.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import hypot
from typing import TYPE_CHECKING, NamedTuple

from mplan.physics.climb.launch_climb import SteeringLaw
from mplan.physics.climb.launch_vehicle import NOMINAL, Dispersions

if TYPE_CHECKING:
    from mplan.flight.state import Departing
    from mplan.physics.arcs.homeward import Homeward
    from mplan.physics.rendezvous.launch_passes import LaunchPass


class BurnError(NamedTuple):
    """How a burn errs: a share of its size, and its direction [rad] about each of two axes.

    `beyond` [m/s] is what it gives too much where corrections take that out. A `correction` [m/s]
    is the size of one that takes out what the burns before it left; None for any other burn.
    """

    size: float = 0.0
    about_one: float = 0.0
    about_other: float = 0.0
    beyond: float = 0.0
    correction: float | None = None

    def cost(self, impulse: float) -> float:
        """Return what it costs [m/s] beside an `impulse`: what is burned too much, and its trim.

        The same engine takes size and direction out again at once, by as much as the burn missed
        by: one that is too short costs nothing then, but for its direction.
        """
        too_much = self.size * impulse
        missed = hypot(too_much, self.about_one * impulse, self.about_other * impulse)
        return too_much + missed + self.beyond


AS_PLANNED = BurnError()


@dataclass(frozen=True)
class FlownErrors:
    """What one ship meets.

    `programme` are the planned attitudes of its climb, `climb` what it meets there. `departing` and
    `second` are the planned launch and way to the Moon, `homeward` is the planned return, from
    whose place it leaves; None where the plan has none. `burns` are errors by the index of their
    event.
    """

    programme: SteeringLaw
    climb: Dispersions = NOMINAL
    departing: Departing | None = None
    second: LaunchPass | None = None
    homeward: Homeward | None = None
    burns: Mapping[int, BurnError] = field(default_factory=dict)
