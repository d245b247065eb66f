"""Numbers of ours beside published ones, each with its source."""

from __future__ import annotations

import numpy as np
import pandas as pd

from mplan.flight.steps import interface_of
from mplan.physics import constants as c
from mplan.physics.twobody import hohmann
from mplan.plan import Plan

LOW, HIGH = c.R_EARTH + 191.34411e3, c.R_EARTH + 35781.34857e3  # m, the example's two circles


def beside(plan: Plan) -> pd.DataFrame:
    """Return the comparison: a worked example, and the speed at which this mission comes home."""
    transfer = hohmann(LOW, HIGH, c.MU_EARTH)
    rows = [
        (
            "Hohmann transfer, altitude 191.34411 km to 35,781.34857 km",
            f"{transfer.total / 1e3:.6f} km/s",
            "3.935224 km/s",
            "Vallado, Fundamentals of Astrodynamics and Applications, example 6-1",
        ),
        (
            "duration of the same",
            f"{transfer.duration / c.HOUR:.6f} h",
            "5.256713 h",
            "the same",
        ),
    ]
    home = interface_of(plan.flight.end)
    if home is not None:
        rows.append(
            (
                "this mission's inertial speed at 121.92 km, homeward",
                f"{np.linalg.norm(home.v) / 1e3:.3f} km/s",
                "11.000 to 11.069 km/s",
                "nine crewed returns from the Moon, 1968 to 1972: Orloff, NASA SP-2000-4029, "
                "36,090 to 36,314 ft/s",
            )
        )
    columns = ["what", "here", "published", "source"]
    frame = pd.DataFrame(rows, columns=columns)
    frame.attrs["digits"] = dict.fromkeys(columns)
    return frame
