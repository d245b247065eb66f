"""The way to the Moon and the way home beside flown ones, each number with its source."""

from __future__ import annotations

from datetime import datetime

import numpy as np
import pandas as pd

from mplan.physics import constants as c
from mplan.studies import flown
from mplan.studies.flown import FOOT, NAUTICAL_MILE, Injection, Return

ORLOFF = "R. W. Orloff, NASA SP-2000-4029"
READ = f"{ORLOFF}: state read in a transcription; {{what}} from memory"

# State ten seconds after the cut-off, and the flown time and height of the arrival.
NOVEMBER_1969 = Injection(
    datetime(1969, 11, 14, 16, 22), 10393.94, 1209284, 35389.8, 8.584, 63.902, 16.0791, -154.2798
)
DECEMBER_1972 = Injection(
    datetime(1972, 12, 7, 5, 33), 11917.64, 1029299, 35555.3, 7.379, 118.110, 4.6824, -53.1190
)
OUTWARD = (
    ("November 1969", NOVEMBER_1969, 83 * 3600 + 25 * 60 + 23.4, 61.7),
    ("December 1972", DECEMBER_1972, 86 * 3600 + 14 * 60 + 22.6, 52.6),
)
# Middle of the return burn, interface, its angle; speed there and burn, ft/s; what was read.
DECEMBER_1968 = Return(datetime(1968, 12, 21, 12, 51), 321658.5, 528372.8, -6.50)
JULY_1969 = Return(datetime(1969, 7, 16, 13, 32), 487498.0, 702185.7, -6.48)
HOMEWARD = (
    ("December 1968", DECEMBER_1968, 36221.1, 3519.0, "speed, angle and burn from memory"),
    ("July 1969", JULY_1969, 36194.4, 3279.0, "speed and angle read, the rest from memory"),
)
RETURN_ORBIT = 60.0 * NAUTICAL_MILE  # m


def outward() -> pd.DataFrame:
    """Return published injection states flown to the Moon, beside the arrivals that were flown."""
    rows = []
    for name, injection, arrival, height in OUTWARD:
        end = flown.arrive(injection)
        took = end.t - injection.t + injection.elapsed
        altitude = (float(np.linalg.norm(end.lunar_r)) - c.R_MOON) / NAUTICAL_MILE
        rows += [
            (
                f"{name}: perilune, since lift-off",
                _hours(took),
                _hours(arrival),
                READ.format(what="insertion's ignition, minutes before perilune,"),
            ),
            (
                f"{name}: perilune altitude",
                f"{altitude:.0f} n mi",
                f"{height:.0f} n mi",
                READ.format(what="perilune after the corrections"),
            ),
        ]
    return _frame(rows)


def homeward() -> pd.DataFrame:
    """Return the cheapest returns at the times of flown ones, beside those."""
    rows = []
    for name, published, speed, burn, read in HOMEWARD:
        home = flown.come_home(published, RETURN_ORBIT)
        entry = float(np.linalg.norm(home.interface.v)) / FOOT
        source = f"{ORLOFF}: {read}"
        rows += [
            (
                f"{name}: inertial speed at the interface",
                f"{entry:,.0f} ft/s",
                f"{speed:,.0f} ft/s",
                source,
            ),
            (
                f"{name}: return burn",
                f"{home.delta_v / FOOT:,.0f} ft/s",
                f"{burn:,.0f} ft/s",
                source,
            ),
        ]
    return _frame(rows)


def _hours(seconds: float) -> str:
    return f"{seconds / c.HOUR:.2f} h"


def _frame(rows: list[tuple[str, str, str, str]]) -> pd.DataFrame:
    columns = ["what", "computed", "flown", "source"]
    frame = pd.DataFrame(rows, columns=columns)
    frame.attrs["digits"] = dict.fromkeys(columns)
    return frame
