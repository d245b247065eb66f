"""Arguments of a function as people write them ("185 km", "2031-05-28 12:00"), read into SI."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date, datetime, time, timezone
from typing import Any, TypeVar, get_args

from mplan.physics.bodies.time import tdb_from_utc
from mplan.scenario.dates import FIRST_DAY, LAST_DAY
from mplan.scenario.problems import PlainError
from mplan.scenario.quantities import Unreadable
from mplan.scenario.wording import choices, shown

Word = TypeVar("Word", bound=str)
MOMENT = f"a UTC date from {FIRST_DAY} to {LAST_DAY} (the ephemeris DE421)"


class ArgumentError(PlainError, ValueError):
    """An argument that cannot be used; str() names it, what was found and what is accepted."""

    def __init__(self, name: str, found: str, accepted: str) -> None:
        """Keep the message."""
        super().__init__(f"{name}: found {found}; accepted: {accepted}")


def quantity(name: str, value: object, kind: Any) -> float:  # noqa: ANN401 (an annotated float)
    """Return the SI value of an argument of a `kind` such as `ParkingAltitude`.

    ArgumentError for a bare number, another dimension or a value out of bounds.
    """
    accepted = get_args(kind)[1]
    try:
        return accepted.read(value)
    except Unreadable as problem:
        raise ArgumentError(name, f"{shown(value)}{problem}", accepted.accepted) from None


def moment(name: str, value: object) -> float:
    """Return the TDB seconds past J2000 of a UTC date: a datetime, a date or an ISO 8601 text.

    ArgumentError for anything else, and outside the ephemeris.
    """
    found = _datetime(value)
    like = f'{MOMENT}, like "2031-05-28 12:00"'
    if found is None:
        raise ArgumentError(name, f"{shown(value)}, not a date", like)
    if not FIRST_DAY <= found.date() <= LAST_DAY:
        raise ArgumentError(name, f"{shown(value)}, outside the ephemeris", like)
    return tdb_from_utc(found)


def choice(name: str, value: object, known: Collection[Word]) -> Word:
    """Return an argument that must be one of the `known` words; ArgumentError if it is none."""
    for word in known:
        if value == word:
            return word
    raise ArgumentError(name, shown(value), choices(known))


def _datetime(value: object) -> datetime | None:
    """Return an aware UTC datetime; a date begins at midnight, no zone means UTC."""
    if isinstance(value, str):
        try:
            value = datetime.fromisoformat(value.strip().replace("Z", "+00:00"))
        except ValueError:
            return None
    if isinstance(value, date) and not isinstance(value, datetime):
        value = datetime.combine(value, time())
    if not isinstance(value, datetime):
        return None
    return value.replace(tzinfo=value.tzinfo or timezone.utc).astimezone(timezone.utc)
