"""How one thing scatters, as a planner writes it: "0.5 %", "40 kg", or a table of two bounds.

A text is a standard deviation of a normal distribution, as a share of the planned value or in its
own unit; a table of `least` and `most` has all departures between them equally likely.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, NoReturn

from pydantic_core import PydanticCustomError, core_schema

from mplan.scenario.quantities import KINDS, Quantity, Unreadable
from mplan.scenario.wording import shown

CUT = 4.0  # standard deviations at which normal distributions end (common practice, no source)
SHARE = "fraction"
_BOUNDS = ("least", "most")


@dataclass(frozen=True)
class Spread:
    """Departures from the planned value: shares of it where `relative`, else SI.

    Normal with a standard deviation `sigma`, cut at four of them, between `low` and `high`; where
    `sigma` is None, uniform between them.
    """

    low: float
    high: float
    sigma: float | None
    relative: bool

    @property
    def none(self) -> bool:
        """Whether nothing departs at all."""
        return self.low == self.high == 0.0

    def least(self, planned: float) -> float:
        """Return the least value that comes of a `planned` one."""
        return planned * (1.0 + self.low) if self.relative else planned + self.low


@dataclass(frozen=True)
class Scatter:
    """What a field accepts: a spread of a `kind` of quantity, as a share too unless `own` alone.

    A departure is no absolute value: a `signed` one has nothing that it might fall below.
    """

    kind: str
    example: str
    own: bool = False  # in its own unit alone, of what has no planned value
    signed: bool = False

    @property
    def accepted(self) -> str:
        """What is accepted, in words."""
        share = "" if self.own or self.kind == SHARE else "a share or "
        bounds = f'{{ least = "-{self.example}", most = "{self.example}" }}'
        return (
            f"a standard deviation, {share}{KINDS[self.kind].name} with its unit, at least zero, "
            f'like "{self.example}", or a table of bounds, like {bounds}'
        )

    def read(self, value: object) -> Spread:
        """Return the spread that is written; raise `Unreadable` with the reason if there is none.

        A share that would reach zero is refused.
        """
        if isinstance(value, dict):
            spread = self._uniform(value)
        else:
            sigma, relative = self._amount(value)
            if sigma < 0.0:
                raise Unreadable(", negative")
            spread = Spread(-CUT * sigma, CUT * sigma, sigma, relative)
        if spread.relative and not self.signed and spread.low <= -1.0:
            raise Unreadable(below_zero(spread))
        return spread

    def _uniform(self, value: dict[str, Any]) -> Spread:
        if set(value) != set(_BOUNDS):
            raise Unreadable(f" of {', '.join(value) or 'nothing'}")
        (low, relative), (high, other) = (self._amount(value[key]) for key in _BOUNDS)
        if relative != other:
            raise Unreadable(", of which one bound is a share and the other is none")
        if low >= high:
            raise Unreadable(", whose least is not below its most")
        return Spread(low, high, None, relative)

    def _amount(self, value: object) -> tuple[float, bool]:
        """Return an amount, and whether it is a share of the planned value."""
        if self.own:
            return Quantity(self.kind).read(value), False
        try:
            return Quantity(SHARE).read(value), True
        except Unreadable:
            if self.kind == SHARE:
                raise
            return Quantity(self.kind).read(value), False

    def _validate(self, value: object) -> Spread:
        try:
            return self.read(value)
        except Unreadable as problem:
            self._refuse(f"found {shown(value)}{problem}; accepted: {self.accepted}")

    def _refuse(self, text: str) -> NoReturn:
        raise PydanticCustomError("quantity", "{text}", {"text": text}) from None

    def __get_pydantic_core_schema__(self, source: object, handler: object) -> Any:  # noqa: ANN401
        """Read what is written through `read`; pydantic calls this when it builds a model."""
        return core_schema.no_info_plain_validator_function(self._validate)

    def __get_pydantic_json_schema__(self, schema: object, handler: object) -> dict[str, Any]:
        """Describe both forms to editors; `accepted` is folded into the description later."""
        text = {"type": "string"}
        said = f'The {{}} departure, like "{self.example}".'
        bounds = {
            "type": "object",
            "properties": {x: {**text, "description": said.format(x)} for x in _BOUNDS},
            "required": list(_BOUNDS),
            "additionalProperties": False,
        }
        return {"anyOf": [text, bounds], "examples": [self.example], "accepted": self.accepted}


def below_zero(spread: Spread) -> str:
    """Return why a spread is too wide, to follow what was found."""
    where = f" at {CUT:g} standard deviations" if spread.sigma is not None else ""
    return f", which reaches zero or less{where}"
