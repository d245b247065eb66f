"""Time scales: UTC for people, TDB seconds past J2000 for the flight.

Leap seconds are those known to ERFA; for dates after the last announced one, none is
assumed, so a UTC date decades ahead can be off by the leap seconds still to come. Before
1972 UTC was stepped by up to 0.11 s: on the day of a step the way back errs by as much.
"""

from __future__ import annotations

import warnings
from datetime import date, datetime, timedelta, timezone
from typing import Literal

import erfa
from erfa import ufunc

from mplan.physics.constants import DAY

J2000 = 2451545.0  # Julian date of the epoch J2000.0, exact by definition
NOON_2000 = date(2000, 1, 1)
TT_MINUS_TAI = 32.184  # s, exact by definition (IAU 1991)
GPS_BEHIND_TAI = 19.0  # s, exact by definition (IS-GPS-200)

TimeScale = Literal["UTC", "TDB", "TT", "TAI", "GPS"]


def tdb_from_utc(moment: datetime) -> float:
    """Return TDB seconds past J2000 of a UTC `moment` (aware, or naive and taken as UTC)."""
    if moment.tzinfo is not None:
        moment = moment.astimezone(timezone.utc)
    seconds = moment.second + moment.microsecond * 1e-6
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", erfa.ErfaWarning)  # "dubious year": see the module text
        day, part = erfa.dtf2d(
            "UTC", moment.year, moment.month, moment.day, moment.hour, moment.minute, seconds
        )
        day, part = erfa.taitt(*erfa.utctai(day, part))
    part += _tdb_minus_tt(day, part) / DAY
    return float(((day - J2000) + part) * DAY)


def tdb_from_scale(day: date, seconds: float, scale: TimeScale) -> float:
    """Return TDB seconds past J2000 of `seconds` past midnight of a `day` in a time scale.

    In UTC a day with a leap second has 86401; GPS is 19 s behind TAI (IS-GPS-200).
    """
    since = (day.toordinal() - NOON_2000.toordinal()) * DAY - DAY / 2.0 + seconds
    if scale == "TDB":
        return since
    if scale == "UTC":
        since += _tai_minus_utc(day, seconds) + TT_MINUS_TAI
    elif scale in ("TAI", "GPS"):
        since += TT_MINUS_TAI + (GPS_BEHIND_TAI if scale == "GPS" else 0.0)
    return since + _tdb_minus_tt(J2000, since / DAY)


def seconds_of_day(day: date) -> float:
    """Return how long a UTC day is [s]: 86400, or 86401 with a leap second (none before 1972)."""
    longer = _tai_minus_utc(day + timedelta(days=1), 0.0) - _tai_minus_utc(day, 0.0)
    return DAY + round(longer) if day.year >= 1972 else DAY


def _tai_minus_utc(day: date, seconds: float) -> float:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", erfa.ErfaWarning)
        return float(erfa.dat(day.year, day.month, day.day, min(seconds / DAY, 1.0)))


def utc_from_tdb(t: float) -> datetime:
    """Return the aware UTC datetime of `t` [TDB s past J2000], to the microsecond."""
    day, part = tt_from_tdb(t)
    # ERFA's own functions: to word the warning of a "dubious year" takes ten times as long.
    day, part, _ = ufunc.tttai(day, part)
    day, part, _ = ufunc.taiutc(day, part)
    year, month, dom, clock, status = ufunc.d2dtf(b"UTC", 6, day, part)
    if status < 0:
        raise ValueError(f"no date in UTC at {t:g} s past J2000")
    h, m, s, us = clock.item()
    second = min(s, 59)  # datetime has no 61st second; one inside a leap second is rounded
    start = datetime(int(year), int(month), int(dom), h, m, second, tzinfo=timezone.utc)
    return start + timedelta(microseconds=us)


def tt_from_tdb(t: float) -> tuple[float, float]:
    """Return the two-part TT Julian date of `t` [TDB s past J2000]."""
    part = t / DAY
    return J2000, part - _tdb_minus_tt(J2000, part) / DAY


def _tdb_minus_tt(day: float, part: float) -> float:
    """Return TDB - TT [s] at the geocentre (Fairhead & Bretagnon 1990, in ERFA)."""
    return float(erfa.dtdb(day, part, 0.0, 0.0, 0.0, 0.0))
