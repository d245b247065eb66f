"""Time scales: UTC for people, TDB seconds past J2000 for the flight.

Leap seconds are those known to ERFA; for dates after the last announced one, none is
assumed, so a UTC date decades ahead can be off by the leap seconds still to come. Before
1972 UTC was stepped by up to 0.11 s: on the day of a step the way back errs by as much.
"""

from __future__ import annotations

import warnings
from datetime import datetime, timedelta, timezone

import erfa

from mplan.physics.constants import DAY

J2000 = 2451545.0  # Julian date of the epoch J2000.0, exact by definition


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


def utc_from_tdb(t: float) -> datetime:
    """Return the aware UTC datetime of `t` [TDB s past J2000], to the microsecond."""
    day, part = J2000, t / DAY
    part -= _tdb_minus_tt(day, part) / DAY
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", erfa.ErfaWarning)
        day, part = erfa.taiutc(*erfa.tttai(day, part))
        year, month, dom, (h, m, s, us) = erfa.d2dtf("UTC", 6, day, part)
    second = min(int(s), 59)  # datetime has no 61st second; one inside a leap second is rounded
    start = datetime(int(year), int(month), int(dom), int(h), int(m), second, tzinfo=timezone.utc)
    return start + timedelta(microseconds=int(us))


def tt_from_tdb(t: float) -> tuple[float, float]:
    """Return the two-part TT Julian date of `t` [TDB s past J2000]."""
    part = t / DAY
    return J2000, part - _tdb_minus_tt(J2000, part) / DAY


def _tdb_minus_tt(day: float, part: float) -> float:
    """Return TDB - TT [s] at the geocentre (Fairhead & Bretagnon 1990, in ERFA)."""
    return float(erfa.dtdb(day, part, 0.0, 0.0, 0.0, 0.0))
