"""Quantities as people write them ("185 km"), read into SI floats at the edge of the kit.

A bare number is refused: the unit is part of what the planner means. Units are those of
astropy, a few imperial ones and the everyday words for them; "ton" is refused because it
could mean three different masses.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache, lru_cache
from itertools import chain
from math import isfinite
from typing import Annotated, Any

from pydantic_core import PydanticCustomError, core_schema

from mplan.scenario.problems import PlainError
from mplan.scenario.usual_units import USUAL, alike
from mplan.scenario.wording import shown

PATTERN = r"^\s*[+\-−]?(\d+\.?\d*|\.\d+)([eE][+\-]?\d+)?\s*[^\d\s.,+\-−].*$"

_TEXT = re.compile(
    r"\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?|[+-]?(?:nan|inf))(.*)", re.DOTALL
)
_WORDS = {
    "in": "inch",
    "month": "30.4375 d",  # the mean one
    "months": "30.4375 d",
    "feet": "ft",
    "lbs": "lb",
    "sec": "s",
    "kWh": "kW h",
    "Wh": "W h",
    "MWh": "MW h",
    "mps": "m/s",
    "Sv": "J/kg",
    "mSv": "mJ/kg",
}


@dataclass(frozen=True)
class Kind:
    """A dimension: its name with article, the SI unit it is stored in, an example."""

    name: str
    si: str
    example: str


KINDS = {
    "length": Kind("a length", "m", "185 km"),
    "time": Kind("a time", "s", "36 h"),
    "mass": Kind("a mass", "kg", "11.5 t"),
    "rate": Kind("a rate", "1/s", "3 /year"),
    "mass flow": Kind("a mass flow", "kg/s", "1.2 kg/d"),
    "angle": Kind("an angle", "rad", "72 deg"),
    "speed": Kind("a speed", "m/s", "20 m/s"),
    "acceleration": Kind("an acceleration", "m/s2", "0.02 m/s2"),
    "area": Kind("an area", "m2", "6 m2"),
    "angular rate": Kind("an angular rate", "rad/s", "0.5 deg/s"),
    "angular acceleration": Kind("an angular acceleration", "rad/s2", "0.2 deg/s2"),
    "force": Kind("a force", "N", "5450 kN"),
    "impulse": Kind("an impulse", "N s", "2 N s"),
    "power": Kind("a power", "W", "1.6 kW"),
    "energy": Kind("an energy", "J", "60 kWh"),
    "temperature difference": Kind("a temperature difference", "K", "10 K"),
    "fraction": Kind("a fraction", "", "2 %"),
    "volume": Kind("a volume", "m3", "6 m3"),
    "volume flow": Kind("a volume flow", "m3/s", "60 m3/h"),
    "pressure": Kind("a pressure", "Pa", "8 kPa"),
    "heat flux": Kind("a heat flux", "W/m2", "4 MW/m2"),
    "heat load": Kind("an amount of heat", "J/m2", "500 MJ/m2"),
    "areal mass": Kind("a mass per area", "kg/m2", "25 kg/m2"),
    "energy per mass": Kind("energy per mass", "J/kg", "120 Wh/kg"),
    "mass per energy": Kind("mass per energy", "kg/J", "0.38 kg/kWh"),
    "dose equivalent": Kind("a dose equivalent", "J/kg", "150 mSv"),
    "heat per mass": Kind("heat per mass", "J/kg", "20 MJ/kg"),
    "frequency": Kind("a frequency", "Hz", "2.25 GHz"),
    "data rate": Kind("a data rate", "bit/s", "64 kbit/s"),
    "ratio": Kind("a ratio", "dB", "3 dB"),
    "gain": Kind("an antenna gain", "dBi", "26 dBi"),
    "radiated power": Kind("a radiated power", "dBW", "60 dBW"),
    "figure of merit": Kind("a figure of merit", "dB/K", "21 dB/K"),
    "temperature": Kind("a temperature", "K", "120 K"),
}


class Unreadable(PlainError, ValueError):
    """A text that is no quantity of the expected kind; str() says what is wrong with it."""


@dataclass(frozen=True)
class Quantity:
    """What a field accepts: a kind of quantity, and bounds written as quantities ("15 km").

    As an annotation (`Annotated[float, Quantity("length")]`) it makes a pydantic field that
    reads text and holds SI.
    """

    kind: str
    above: str | None = None
    at_least: str | None = None
    at_most: str | None = None
    below: str | None = None
    example: str | None = None
    why: str | None = None  # the reason for the bounds

    @property
    def sample(self) -> str:
        """A value that would be accepted."""
        return self.example or KINDS[self.kind].example

    @property
    def accepted(self) -> str:
        """What is accepted, in words."""
        return f'{KINDS[self.kind].name} with its unit{self._bounds()}, like "{self.sample}"'

    def read(self, value: object) -> float:
        """Return the SI value of a text; raise `Unreadable` with the reason if there is none."""
        if not isinstance(value, str):
            bare = isinstance(value, (int, float)) and not isinstance(value, bool)
            raise Unreadable(", a bare number" if bare else ", not a quantity")
        number = parse(value, KINDS[self.kind].si)
        self._refuse_outside(number)
        return number

    def _refuse_outside(self, number: float) -> None:
        si = KINDS[self.kind].si
        if self.above is not None and not number > parse(self.above, si):
            raise Unreadable(", too small")
        if self.at_least is not None and not number >= parse(self.at_least, si):
            raise Unreadable(", too small")
        if self.at_most is not None and not number <= parse(self.at_most, si):
            raise Unreadable(", too large")
        if self.below is not None and not number < parse(self.below, si):
            raise Unreadable(", too large")

    def _bounds(self) -> str:
        if self.at_least and self.at_most:
            reason = f" ({self.why})" if self.why else ""
            return f", from {self.at_least} to {self.at_most}{reason}"
        pairs = (
            ("above", self.above),
            ("at least", self.at_least),
            ("at most", self.at_most),
            ("below", self.below),
        )
        stated = [f"{word} {_zero(bound)}" for word, bound in pairs if bound is not None]
        return f", {' and '.join(stated)}" if stated else ""

    def _validate(self, value: object) -> float:
        try:
            return self.read(value)
        except Unreadable as problem:
            text = f"found {shown(value)}{problem}; accepted: {self.accepted}"
            raise PydanticCustomError("quantity", "{text}", {"text": text}) from None

    def __get_pydantic_core_schema__(self, source: object, handler: object) -> Any:  # noqa: ANN401
        """Read text through `read`; pydantic calls this when it builds a model."""
        return core_schema.no_info_plain_validator_function(self._validate)

    def __get_pydantic_json_schema__(self, schema: object, handler: object) -> dict[str, Any]:
        """Describe the text to editors; `accepted` is folded into the description later."""
        return {
            "type": "string",
            "pattern": PATTERN,
            "examples": [self.sample],
            "accepted": self.accepted,
        }


@lru_cache(maxsize=8192)
def parse(text: str, si: str) -> float:
    """Return the value of `text` in the SI unit `si`; raise `Unreadable` with the reason."""
    match = _TEXT.fullmatch(text.replace("−", "-"))
    if match is None:
        raise Unreadable(", not a number followed by a unit")
    number, unit = float(match[1]), match[2].strip()
    if not isfinite(number):
        raise Unreadable(", not a finite number")
    if not unit:
        raise Unreadable(", a bare number")
    return number * _factor(unit, si)


def text(value: float, unit: str) -> str:
    """Write an SI `value` in `unit`, to 12 digits: `text(190e3, "km")` is "190 km"."""
    usual = (factors[unit] for factors in USUAL.values() if unit in factors)
    others = (_factor_or_none(unit, kind.si) for kind in KINDS.values())
    factor = next(filter(None, chain(usual, others)), None)
    if factor is None:
        raise Unreadable(f'"{unit}" is no unit of a quantity in a scenario')
    return f"{value / factor:.12g} {unit}"


def unit_of(text: str) -> str:
    """Return the unit of a quantity, as written; "" where `text` is none."""
    match = _TEXT.fullmatch(text.replace("−", "-"))
    unit = match[2].strip() if match else ""
    return unit if unit and _unit(unit) is not None else ""


def number_in(text: str, unit: str) -> float:
    """Return the number of a quantity in `unit`: that of "2 t" in "kg" is 2000.

    Raises `Unreadable` where it is of another dimension.
    """
    known = {kind.si for kind in KINDS.values()}
    si = next((each for each in known if _factor_or_none(unit, each) is not None), None)
    if si is None:
        raise Unreadable(f', in "{unit}", no unit of a quantity in a scenario')
    value = parse(text, si)
    match = _TEXT.fullmatch(text.replace("−", "-"))
    same = match is not None and match[2].strip() == unit
    return float(match[1]) if match and same else value / _factor(unit, si)


def read(kind: str, value: object) -> float | None:
    """Return the SI value of `value`, or None where it is no quantity of that `kind`."""
    try:
        return parse(value, KINDS[kind].si) if isinstance(value, str) else None
    except Unreadable:
        return None


def _factor_or_none(unit: str, si: str) -> float | None:
    try:
        return _factor(unit, si)
    except Unreadable:
        return None


@cache
def _factor(unit: str, si: str) -> float:
    """Return how many `si` make one `unit`."""
    usual = USUAL.get(si, {}).get(unit)
    if usual is not None:
        return usual
    if any(unit in USUAL[other] for other in USUAL.keys() - alike(si)):
        raise Unreadable(", of another dimension")
    from astropy import units  # 0.3 s to import: only for a unit that is not usual

    found = _unit(unit)
    if found is None:
        raise Unreadable(_unknown(unit))
    try:
        return found.to(_unit(si))
    except units.UnitConversionError:
        raise Unreadable(", of another dimension") from None


def _unknown(unit: str) -> str:
    if unit.lower() in ("ton", "tons"):
        return f'; "{unit}" may be metric, short or long, write "t" or "lb"'
    return f', whose unit "{unit}" is unknown'


@cache
def _unit(name: str) -> Any:  # noqa: ANN401  (astropy is imported inside)
    """Return the astropy unit called `name`, in the plural or in words too, or None."""
    from astropy import units

    words = re.sub(r"[A-Za-z]+", lambda word: _WORDS.get(word[0], word[0]), name)
    american = words.replace("metre", "meter")
    singular = re.sub(r"([a-z]{2,})s\b", r"\1", american)
    imperial = units.imperial
    # astropy's own pound-force rests on a rounded slug and is 1.4e-8 too large.
    pound_force = units.def_unit("lbf", 0.45359237 * 9.80665 * units.N)
    extra = [imperial.ft, imperial.inch, imperial.nmi, imperial.mi, imperial.lb, pound_force]
    extra += [units.def_unit("dBi"), units.def_unit("dBW")]  # levels: none becomes a power or ratio
    with units.add_enabled_units(extra):
        for spelling in (american, singular):
            try:
                return units.Unit(spelling)
            except (ValueError, TypeError):
                continue
    return None


def _zero(bound: str) -> str:
    """Say "zero" for "0 km": its unit would only distract."""
    return "zero" if bound.split()[0] == "0" else bound


def _alias(kind: str, **bounds: str) -> Any:  # noqa: ANN401
    return Annotated[float, Quantity(kind, **bounds)]


# What can be built, and what a mission of a year can ask for: a slip of the unit or of a power of
# ten is told where it is written. Each bound leaves room beyond anything that was ever proposed
# (common practice, no source); the least ones are those of parts that still do something.
BUILT = "what can be built"
LONGEST = "a mission lasts 400 d at most"  # a ship that is sent a year ahead

Length = _alias("length", at_least="1 mm", at_most="200 m", why=BUILT, example="15.2 m")
Time = _alias("time", at_least="0.1 s", at_most="400 d", why=LONGEST)
Mass = _alias("mass", at_least="1 g", at_most="20000 t", why=BUILT)
MassOrNone = _alias("mass", at_least="0 kg", at_most="20000 t", why=BUILT)
MassFlow = _alias("mass flow", at_least="0 kg/d", at_most="1000 kg/d", why="a leak, not a vent")
Speed = _alias("speed", at_least="0 m/s", at_most="500 m/s", why="corrections and winds")
Turn = _alias("angle", at_least="-90 deg", at_most="90 deg")
Force = _alias("force", at_least="0.01 N", at_most="300 MN", why=BUILT)
Power = _alias("power", at_least="0 W", at_most="1 MW", why=BUILT)
Energy = _alias("energy", at_least="0 J", at_most="100 MWh", why=BUILT)
Share = _alias("fraction", at_least="0 %", at_most="100 %")
