"""How a limit and what was found are written: with as many digits as tell them apart.

A rounded number never hides a fault: "12.0 m/s at most, found 12.0 m/s" is never written.
"""

from __future__ import annotations

from typing import NamedTuple

MOST_DIGITS = 20  # decimals: two doubles above 0.001 that differ are told apart before


class Measured(NamedTuple):
    """A limit and what was found, as numbers of one `unit`; `least` where it may not be below.

    `digits` are the decimals worth writing, where more do not tell the two apart.
    """

    limit: float
    found: float
    unit: str
    digits: int = 1
    least: bool = False

    @property
    def left(self) -> float:
        """What is left up to the limit, negative beyond it."""
        return self.found - self.limit if self.least else self.limit - self.found


class FoundNumber(NamedTuple):
    """A number that was found, good for so many `digits` behind the point."""

    value: float
    digits: int


class Figures(NamedTuple):
    """A limit and what was found, as people read them, and as numbers where they are numbers.

    `amounts` are the numbers that were found where the limit is none.
    """

    limit: str
    found: str
    measure: Measured | None = None
    amounts: tuple[FoundNumber, ...] = ()


def apart(limit: float, found: float, digits: int = 1) -> tuple[str, str]:
    """Return two numbers with `digits` decimals, or with as many more as tell them apart."""
    written = _written(limit, digits), _written(found, digits)
    if written[0] != written[1] or limit == found or digits >= MOST_DIGITS:
        return written
    return apart(limit, found, digits + 1)


def decimals(limit: float, found: float, digits: int = 1) -> int:
    """Return how many decimals tell two numbers apart, at least `digits`."""
    return len(apart(limit, found, digits)[1].partition(".")[2])


def _written(value: float, digits: int) -> str:
    """Return a number with `digits` decimals, a rounded zero without a sign."""
    return f"{round(value, digits) + 0.0:,.{digits}f}"


def at_most(limit: float, found: float, unit: str, digits: int = 1) -> Figures:
    """Return an upper limit and what was found: ("12.0 m/s at most", "12.4 m/s")."""
    first, second = apart(limit, found, digits)
    measure = Measured(limit, found, unit, digits)
    return Figures(f"{first} {unit} at most", f"{second} {unit}", measure)


def at_least(limit: float, found: float, unit: str, digits: int = 1, of: str = "") -> Figures:
    """Return a lower limit and what was found: ("90 s at least", "84 s").

    `of` is said after the unit, where that alone does not say what is meant: "75 % of the way".
    """
    first, second = apart(limit, found, digits)
    said = f"{unit} {of}".rstrip()
    measure = Measured(limit, found, unit, digits, least=True)
    return Figures(f"{first} {said} at least", f"{second} {said}", measure)


def counted(limit: int, found: int, what: str) -> Figures:
    """Return the most times or pieces and what was counted: ("3 starts at most", "4")."""
    return Figures(f"{limit} {what} at most", f"{found}", Measured(limit, found, "", 0))


def amount(value: float, digits: int = 1) -> str:
    """Return a number with `digits` decimals, or with as many more as show that it is not zero."""
    return apart(0.0, value, digits)[1]
