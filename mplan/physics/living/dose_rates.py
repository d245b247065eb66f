"""Published mean dose rates of people in spacecraft, with their spread.

Dose equivalents behind the shielding of the craft in which they were measured. What is between
least and most has been met; a solar particle event is in none of them and may be a hundred times
as much. Radiation protection is settled by licensed practice, not by this table.
"""

from __future__ import annotations

from typing import NamedTuple

from mplan.physics.constants import DAY


class DoseRate(NamedTuple):
    """A dose equivalent [Sv/s], or [Sv] a passage: usual, least and most; where it is from."""

    usual: float
    least: float
    most: float
    source: str


# Sv/s. 1.84 mSv/d behind a thin ship at a quiet maximum of the Sun; at a minimum up to half as much
# again. What the emulsions of the first landing tell beside the belts is 0.25 mSv/d: they see less
# of what weighs most.
FREE_SPACE = DoseRate(
    1.84e-3 / DAY,
    0.25e-3 / DAY,
    2.8e-3 / DAY,
    "1.84 +- 0.33 mSv/d inside a ship on the way to Mars (Zeitlin et al., Science 340, 1080, "
    "2013, from memory), half as much again at solar minimum (common practice, no source); least: "
    "half of 402 mrem in 8.1 d (Schaefer et al., Radiation Research 49, 245, 1972)",
)
# Sv/s. From 57.1 +- 10.6 uSv/h, the far side, 2019, near solar minimum.
LUNAR_SURFACE = DoseRate(
    1.369e-3 / DAY,
    1.115e-3 / DAY,
    1.623e-3 / DAY,
    "1,369 uSv/d on the far side (Zhang et al., Science Advances 6, eaaz1334, 2020; its spread "
    "of 10.6 uSv/h from memory)",
)
# Sv/s. Under the belts a few hundred kilometres up.
LOW_ORBIT = DoseRate(
    0.5e-3 / DAY,
    0.1e-3 / DAY,
    0.8e-3 / DAY,
    "0.3 to 0.8 mSv/d aboard a station at 400 km, less lower down (from memory)",
)
# Sv a passage of both belts. 402 mrem in all with two crossings at the inner belt's rim, mostly of
# trapped protons; a little above 1,000 mrem with one through its core, less 9 d of free space.
BELT_PASSAGE = DoseRate(
    2.0e-3,
    0.5e-3,
    6.4e-3,
    "402 mrem in a mission with crossings at the rim, slightly above 1,000 mrem with one through "
    "the core (Schaefer et al., Radiation Research 49, 245, 1972), less free space (estimate)",
)
