"""Times and gaps of ways out in words."""

from __future__ import annotations

from collections.abc import Sequence

from mplan.contingencies.ways_out.coverage import WaysGap
from mplan.contingencies.ways_out.failures import FailureName
from mplan.physics.constants import HOUR, MINUTE
from mplan.scenario.wording import plain

SHORT = 2.0 * MINUTE  # below that seconds are told
FAILED: dict[FailureName, str] = {
    "main engine lost": "the main engine lost",
    "one engine lost": "one engine lost",
    "called off": "the mission called off",
    "cabin leaks": "a cabin that leaks",
    "half the power lost": "half the power lost",
}


def clock(elapsed: float, *, seconds: bool = False) -> str:
    """Return a time since lift-off [s] as hours and minutes, like 75:41, or with seconds too."""
    if seconds:
        whole = round(elapsed)
        return f"{whole // 3600}:{whole // 60 % 60:02d}:{whole % 60:02d}"
    whole = round(elapsed / MINUTE)
    return f"{whole // 60}:{whole % 60:02d}"


def length(duration: float) -> str:
    """Return how long something lasts [s], in the unit that suits it."""
    if duration < SHORT:
        return f"{duration:.0f} s"
    return f"{duration / MINUTE:.0f} min" if duration < 2.0 * HOUR else f"{duration / HOUR:.1f} h"


def failed(failures: Sequence[FailureName]) -> str:
    """Return failures in a row of words."""
    named = [FAILED[each] for each in failures]
    return named[0] if len(named) == 1 else f"{', '.join(named[:-1])} or {named[-1]}"


def span(each: WaysGap) -> str:
    """Return from when to when a gap lasts, or when it was seen by one look."""
    if each.end <= each.begin:
        return f"at {clock(each.begin)}"
    fine = each.duration < SHORT
    begin, end = (clock(t, seconds=fine) for t in (each.begin, each.end))
    return f"from {begin} to {end}"


def gap(each: WaysGap) -> str:
    """Return a gap in words, with from and to."""
    return f"no way out of {plain(each.cabin)} with {failed(each.failures)} {span(each)}"
