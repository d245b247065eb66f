"""Odds in tables: burns, limits, why missions do not hold, propellant to carry, what drives it."""

from __future__ import annotations

from collections.abc import Sequence

from mplan.show import notebook
from mplan.show.notebook import Table, Words
from mplan.show.odds import columns, words
from mplan.show.tables import framed
from mplan.studies.odds import Driven, Driver, LimitOdds, Odds, Probability

CLEAR = "Every mission keeps clear of every limit."
NONE = "No mission was flown."
HOLD = "Every mission holds."
MOST_DRIVERS = 5
NEAR = 6.0  # standard deviations from the limit, within which it is told though all hold it


def verdict(odds: Odds) -> Words:
    """Return how likely the plan holds, in words."""
    return notebook.sentence(words.verdict(odds))


def burns(odds: Odds) -> Table:
    """Return how likely each burn has its propellant, and how likely its reserve is not used."""
    return Table(framed(columns.BURNS, odds.burns), NONE)


def limits(odds: Odds) -> Table:
    """Return how likely each limit holds that is near: of the others every mission keeps clear."""
    return Table(framed(columns.LIMITS, telling(odds)), CLEAR)


def why_not(odds: Odds) -> Table:
    """Return what stops missions, and how many; a mission may be stopped by several."""
    return Table(framed(columns.WHY, reasons(odds)), HOLD)


def tanks(odds: Odds) -> Table:
    """Return what missions leave in each tank, and what to carry for 99 % of them."""
    return Table(framed(columns.TANKS, odds.tanks), NONE)


def driven(odds: Odds, figure: str = "") -> Table:
    """Return what drives each figure, or the one named: the most first."""
    rows = [(x, each) for x in odds.driven if figure in ("", x.figure) for each in drivers_of(x)]
    return Table(framed(columns.DRIVEN, rows), TOO_FEW)


def telling(odds: Odds) -> list[LimitOdds]:
    """Return the limits that some mission does not hold, or that lie near to what scatters."""
    return [x for x in odds.limits if x.holds.count < x.holds.of or _near(x)]


def _near(row: LimitOdds) -> bool:
    return row.left.scatters and row.left.planned < NEAR * row.left.deviation


def reasons(odds: Odds) -> list[tuple[str, Probability]]:
    """Return why missions do not hold, with how many of all."""
    ended = {why: n for why, n in odds.ended.items() if why != "flown"}
    standing = {f"in the plan already: {text}": odds.flown for text in odds.standing}
    counts = {**standing, **ended, **odds.stops}
    return [(why, Probability(count, odds.flown)) for why, count in counts.items()]


def drivers_of(each: Driven) -> Sequence[Driver]:
    """Return the drivers of a figure that are worth a row."""
    return each.drivers[:MOST_DRIVERS]


TOO_FEW = "Fewer than twice as many missions as numbers that are drawn: what drives is not told."
