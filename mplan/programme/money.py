"""Money and longer times as people write them: "120 M", "90 d", "4 /year"."""

from __future__ import annotations

import re
from math import ceil
from typing import Annotated

from mplan.physics.constants import DAY
from mplan.scenario.quantities import Quantity, Unreadable

SCALES = {"k": 1e3, "M": 1e6, "bn": 1e9}
_MONEY = re.compile(r"\s*(\d+(?:\.\d+)?)\s*(k|M|bn)\s*")


class MoneyText(Quantity):
    """An amount in the file's currency: a number with k, M or bn (1e3, 1e6, 1e9), not negative."""

    @property
    def sample(self) -> str:
        """A value that would be accepted."""
        return self.example or "120 M"

    @property
    def accepted(self) -> str:
        """What is accepted, in words."""
        scales = "thousands (k), millions (M) or thousand millions (bn)"
        return f'an amount in {scales}, zero or more, like "{self.sample}"'

    def read(self, value: object) -> float:
        """Return the amount; raise `Unreadable` with the reason if there is none."""
        if not isinstance(value, str):
            raise Unreadable(", without k, M or bn")
        match = _MONEY.fullmatch(value)
        if match is None:
            negative = value.lstrip().startswith(("-", "−"))
            raise Unreadable(", below zero" if negative else ", not an amount")
        return float(match[1]) * SCALES[match[2]]


Money = Annotated[float, MoneyText("money")]
# A programme lasts twenty years at most; the shortest work is planned in days.
_LONG = "programmes are planned over 20 years"
Span = Annotated[float, Quantity("time", at_least="0 d", at_most="20 years", example="90 d")]
LongSpan = Annotated[
    float,
    Quantity("time", at_least="1 d", at_most="20 years", why=_LONG, example="400 d"),
]
Rate = Annotated[
    float, Quantity("rate", at_least="0.05 /year", at_most="100 /year", example="3 /year")
]


def whole_days(seconds: float) -> int:
    """Return a time [s] in whole days, rounded up; a rounding error of units makes no day."""
    return ceil(seconds / DAY - 1e-6)
