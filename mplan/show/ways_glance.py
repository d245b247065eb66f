"""A glance at the ways out in one line, for who has no time for more; it brings in no pictures."""

from __future__ import annotations

from collections.abc import Sequence

from mplan.contingencies.ways_out.looks import CLOSED, NOT_EXAMINED, WaysLook
from mplan.contingencies.ways_out.told import clock
from mplan.scenario.wording import plain


def told(looks: Sequence[WaysLook]) -> str:
    """Return what looks at the ways out see in one line; what is closed is told as findings."""
    shut = sum(CLOSED in x.kinds for x in looks)
    unknown = sum(NOT_EXAMINED in x.kinds for x in looks)
    clear = "one is open at each that was examined" if unknown < len(looks) else "none was flown"
    parts = [_shut(looks) if shut else clear]
    parts += [f"{unknown} not examined in full"] if unknown else []
    where = f"five failures, one look at each of {len(looks)} stretches beyond Earth orbit"
    return f"ways out, {where}: {'; '.join(parts)} (mplan ways looks at all)"


def _shut(looks: Sequence[WaysLook]) -> str:
    """Return the first look that sees no way out of something, and how many more do."""
    first, *more = [x for x in looks if CLOSED in x.kinds]
    failure = next(name for name, seen in first.seen.items() if seen.kind == CLOSED)
    said = f"none of {plain(first.cabin)} at {clock(first.elapsed)} with {failure}"
    return f"{said}; {len(more)} more" if more else said
