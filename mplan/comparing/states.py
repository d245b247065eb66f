"""Whether a finding of two plans says the same: its digits may move a little in any flight."""

from __future__ import annotations

import re
from collections.abc import Sequence

from mplan.checks.finding import Finding
from mplan.checks.remedies import kind

NUMBER = re.compile(r"\d[\d,]*(?:\.\d+)?")
ONE = 1.0 + 1e-6  # of the last digit that is shown: two roundings of one value differ by no more


def same_state(a: Finding, b: Finding) -> bool:
    """Tell whether two findings are as grave, of one kind about one thing, limit and amount alike.

    Amounts are alike that differ by one in the last digit of the limit, or of what was found
    where the limit states no number.
    """
    if (a.severity, kind(a), a.limit) != (b.severity, kind(b), b.limit):
        return False
    if _words(a.found) != _words(b.found):
        return False
    stated = NUMBER.findall(a.limit)
    pairs = zip(NUMBER.findall(a.found), NUMBER.findall(b.found), strict=True)
    return all(abs(_value(x) - _value(y)) <= ONE * _last(stated or (x, y)) for x, y in pairs)


def _words(text: str) -> str:
    return NUMBER.sub("#", text)


def _value(number: str) -> float:
    return float(number.replace(",", ""))


def _last(numbers: Sequence[str]) -> float:
    """Return one in the last digit of the coarsest of some numbers."""
    return max(10.0 ** -len(number.partition(".")[2]) for number in numbers)
