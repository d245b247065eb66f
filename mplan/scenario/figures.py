"""How a limit and what was found are written: with as many digits as tell them apart.

A rounded number never hides a fault: "12.0 m/s at most, found 12.0 m/s" is never written.
"""

from __future__ import annotations

from typing import NamedTuple

MOST_DIGITS = 20  # decimals: two doubles above 0.001 that differ are told apart before


class Figures(NamedTuple):
    """A limit and what was found, written with their units."""

    limit: str
    found: str


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
    return Figures(f"{first} {unit} at most", f"{second} {unit}")


def at_least(limit: float, found: float, unit: str, digits: int = 1) -> Figures:
    """Return a lower limit and what was found: ("90 s at least", "84 s")."""
    first, second = apart(limit, found, digits)
    return Figures(f"{first} {unit} at least", f"{second} {unit}")


def amount(value: float, digits: int = 1) -> str:
    """Return a number with `digits` decimals, or with as many more as show that it is not zero."""
    return apart(0.0, value, digits)[1]
