"""What is asked of a rendezvous."""

from __future__ import annotations

from math import radians
from typing import Literal, NamedTuple

Schedule = Literal["direct", "coelliptic"]


FROM_ABOVE = radians(28.3)  # read: memo 68-PA-T-195A, where the burn then goes along the sight


class Gate(NamedTuple):
    """No faster than `speed` [m/s] towards the target from `range` [m] on."""

    range: float
    speed: float


class Terms(NamedTuple):
    """The schedule and its figures, SI.

    `coelliptic` raises the orbit at the `revolutions`-th apolune, burns into an orbit `height`
    below the target's half a turn later, and waits there: its terminal phase begins when the
    target is seen `elevation` over the horizon. `direct` goes from insertion straight to the
    terminal phase, `wait` after it. That phase lasts while the target travels by `transfer`. An
    active craft above its target has `height` and `elevation` below zero.
    """

    schedule: Schedule = "coelliptic"
    revolutions: int = 1
    height: float = 15.0 * 1852.0
    elevation: float = radians(26.6)
    transfer: float = radians(130.0)
    wait: float = 38.0 * 60.0  # s, insertion to terminal phase, of `direct`
    coast: float = 46.0 * 60.0  # s, coelliptic burn to terminal phase, as planned
    gates: tuple[Gate, ...] = (Gate(900.0, 9.0), Gate(450.0, 6.0), Gate(150.0, 3.0))
    station: float = 30.0  # m, where braking ends
    docking: float = 15.0 * 60.0  # s, from there to contact

    def from_above(self) -> Terms:
        """Return the same for a craft that comes from above and ahead."""
        return self._replace(height=-self.height, elevation=-FROM_ABOVE)
