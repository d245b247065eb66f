"""Days and clock times in a scenario: what TOML calls local dates and times, all of them UTC."""

from __future__ import annotations

from contextlib import suppress
from datetime import date, datetime, time, timedelta, timezone

from pydantic_core import PydanticCustomError, core_schema

from mplan.scenario.wording import shown

FIRST_DAY = date(1899, 12, 5)  # the installed DE421 begins the day before
LAST_DAY = date(2053, 10, 9) - timedelta(days=30)  # DE421 as published ends, less a long flight


class DateOrTime:
    """What Day and Clock have in common: one message, one plain validator, one schema."""

    kind: str
    accepted: str
    sample: date | time

    def _validate(self, value: object) -> date | time:
        raise NotImplementedError

    def _refused(self, value: object, why: str) -> PydanticCustomError:
        text = f"found {shown(value)}, {why}; accepted: {self.accepted}"
        return PydanticCustomError(self.kind, "{text}", {"text": text})

    def __get_pydantic_core_schema__(self, source: object, handler: object) -> object:
        """Read a moment through `_validate`; pydantic calls this when it builds a model."""
        return core_schema.no_info_plain_validator_function(self._validate)

    def __get_pydantic_json_schema__(self, schema: object, handler: object) -> dict:
        """Describe the moment to editors."""
        return {"type": "string", "format": self.kind, "accepted": self.accepted}


class Day(DateOrTime):
    """A calendar day inside the ephemeris: a TOML date, a date and time (UTC), or its text."""

    kind = "date"
    accepted = f"a day from {FIRST_DAY} to {LAST_DAY} (the ephemeris DE421), like 2031-05-14"
    sample = date(2031, 5, 14)

    def _validate(self, value: object) -> date:
        day = _day(value)
        if day is None:
            raise self._refused(value, "not a date")
        if not FIRST_DAY <= day <= LAST_DAY:
            raise self._refused(value, "outside the ephemeris")
        return day


class Clock(DateOrTime):
    """A clock time: a TOML time or its text."""

    kind = "time"
    accepted = "a clock time (UTC), like 17:24:40"
    sample = time(17, 24, 40)

    def _validate(self, value: object) -> time:
        if isinstance(value, time) and value.tzinfo is None:
            return value
        with suppress(ValueError):
            if isinstance(value, str):
                return time.fromisoformat(value)
        raise self._refused(value, "not a clock time")


def _day(value: object) -> date | None:
    if isinstance(value, datetime):
        return (value.astimezone(timezone.utc) if value.tzinfo else value).date()
    if isinstance(value, date):
        return value
    try:
        return date.fromisoformat(value) if isinstance(value, str) else None
    except ValueError:
        return None
