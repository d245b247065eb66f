"""Numbers of ours beside published ones, each with its source."""

from __future__ import annotations

import pandas as pd

from mplan.physics import constants as c
from mplan.plan import Plan
from mplan.studies import entries, worked_examples


def beside(plan: Plan) -> pd.DataFrame:
    """Return the comparison: a worked example, and the speed at which this mission comes home."""
    transfer = worked_examples.transfer()
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
    if plan.flight.splash is not None:
        rows.append(
            (
                "this mission's inertial speed at 121.92 km, homeward",
                f"{entries.interface(plan).speed / 1e3:.3f} km/s",
                "11.000 to 11.069 km/s",
                "nine crewed returns from the Moon, 1968 to 1972: Orloff, NASA SP-2000-4029, "
                "36,090 to 36,314 ft/s",
            )
        )
    columns = ["what", "computed", "published", "source"]
    frame = pd.DataFrame(rows, columns=columns)
    frame.attrs["digits"] = dict.fromkeys(columns)
    return frame
