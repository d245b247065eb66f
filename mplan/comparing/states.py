"""Whether a finding of two plans says the same: its numbers may move a little in any flight."""

from __future__ import annotations

from mplan.checks.finding import Finding
from mplan.checks.remedies import kind
from mplan.scenario.figures import FoundNumber

ONE = 1.0 + 1e-6  # of the last digit that is written: roundings of one value differ by no more

EXACT = 9  # digits of a count: another one is another state


def same_state(a: Finding, b: Finding) -> bool:
    """Tell whether two findings are as grave, of one kind about one thing, limit and amount alike.

    Amounts are alike that differ by one in the last digit that they are good for; counts are
    alike that are equal.
    """
    if (a.severity, kind(a), a.limit) != (b.severity, kind(b), b.limit):
        return False
    first, second = _amounts(a), _amounts(b)
    if not first and not second:
        return a.found == b.found
    pairs = zip(first, second, strict=False)
    return len(first) == len(second) and all(_alike(*pair) for pair in pairs)


def _amounts(finding: Finding) -> tuple[FoundNumber, ...]:
    """Return the numbers that were found; a count, which has no unit, is exact."""
    measure = finding.figures.measure
    if measure is None:
        return finding.figures.amounts
    count = measure.digits == 0 and not measure.unit
    return (FoundNumber(measure.found, EXACT if count else measure.digits),)


def _alike(one: FoundNumber, other: FoundNumber) -> bool:
    return abs(one.value - other.value) <= ONE * 10.0**-one.digits
