"""Off on a free return, and later a burn that leaves it for the wanted perilune, plane and time.

Until that burn a ship whose engine fails comes home by itself.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from mplan.physics import constants as c
from mplan.physics.arcs import bplane, nbody
from mplan.physics.arcs.outbound import LunarPlane, aim_miss
from mplan.physics.bodies import selenography
from mplan.physics.targeting import Scaling, solve_abreast
from mplan.physics.vectors import freeze

LATEST = 4 * c.DAY  # s past the wanted time of perilune, to which a trial arc is followed

AIM = Scaling(
    step=np.full(3, 0.01),  # m/s
    limit=np.full(3, 50.0),
    tolerance=np.array([10.0, 10.0, 0.1]),  # m, m of B at the Moon, s
)


@dataclass(frozen=True)
class HybridTransfer:
    """A free return left at `t` [TDB s]: GCRS place [m] and velocity after the `burn` [m/s].

    `perilune` is where it leads, `unchanged` the perilune of the free return that it leaves.
    """

    t: float
    r: np.ndarray
    v: np.ndarray
    burn: np.ndarray
    perilune: nbody.Arrival
    unchanged: nbody.Arrival

    def __post_init__(self) -> None:
        """Make the arrays read-only: the record is handed out again."""
        freeze(self)

    @property
    def delta_v(self) -> float:
        """Size of the burn [m/s], impulsive."""
        return float(np.linalg.norm(self.burn))


def leave_for(
    here: nbody.Arrival,
    unchanged: nbody.Arrival,
    *,
    perilune: float,
    plane: LunarPlane,
    arrive: float,
) -> HybridTransfer:
    """Return the burn from `here` that passes the Moon at `perilune` [m, radius] at `arrive`.

    That is a time [TDB s]; `plane` gives the normal of the passage. NoArc where none is found.
    """
    longest, pole = arrive + LATEST - here.t, selenography.lunar_pole(here.t)

    def fly(burns: Sequence[np.ndarray]) -> Sequence[nbody.Arrival]:
        arcs = [nbody.ArcStart(here.r, here.v + burn, here.t, longest) for burn in burns]
        return nbody.fly_abreast(arcs, "perilune")

    def miss(end: nbody.Arrival) -> np.ndarray:
        incoming = bplane.asymptote(end.lunar_r, end.lunar_v, c.MU_MOON)
        off = aim_miss(incoming, perilune, plane(incoming, end.t), pole)
        return np.array([*off, end.t - arrive])

    burn = solve_abreast(lambda burns: [miss(end) for end in fly(burns)], np.zeros(3), AIM)
    return HybridTransfer(here.t, here.r, here.v + burn, burn, fly([burn])[0], unchanged)
