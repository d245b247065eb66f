"""Odds in tables: burns, limits, why missions do not hold, propellant to carry, what drives it."""

from __future__ import annotations

from collections.abc import Sequence

from mplan.show import notebook
from mplan.show.columns import Column
from mplan.show.notebook import Table, Words
from mplan.show.odds import words
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
    return Table(framed(_BURNS, odds.burns), NONE)


def limits(odds: Odds) -> Table:
    """Return how likely each limit holds that is near: of the others every mission keeps clear."""
    return Table(framed(_LIMITS, telling(odds)), CLEAR)


def why_not(odds: Odds) -> Table:
    """Return what stops missions, and how many; a mission may be stopped by several."""
    return Table(framed(_WHY, reasons(odds)), HOLD)


def tanks(odds: Odds) -> Table:
    """Return what missions leave in each tank, and what to carry for 99 % of them."""
    return Table(framed(_TANKS, odds.tanks), NONE)


def driven(odds: Odds, figure: str = "") -> Table:
    """Return what drives each figure, or the one named: the most first."""
    rows = [(x, each) for x in odds.driven if figure in ("", x.figure) for each in drivers_of(x)]
    return Table(framed(_DRIVEN, rows), TOO_FEW)


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


def bare(name: str) -> str:
    """Return what a figure is of, without its unit and without what it is."""
    return name.removeprefix("left after ").removeprefix("left of ").rpartition(" [")[0] or name


def unit(name: str) -> str:
    """Return the unit of a figure, "" for a number."""
    return name.rpartition(" [")[2].rstrip("]") if name.endswith("]") else ""


TOO_FEW = "Fewer than twice as many missions as numbers that are drawn: what drives is not told."
_BURNS = (
    Column("burn", lambda row: row.name),
    Column("left as planned [m/s]", lambda row: row.left.planned, 1),
    Column("left in 99 % [m/s]", lambda row: row.left.quantiles[0], 1),
    Column("left in half [m/s]", lambda row: row.left.quantiles[1], 1),
    Column("reserve [m/s]", lambda row: row.reserve, 1),
    Column("has its propellant [%]", lambda row: 100.0 * row.flown.share, 2),
    Column("from [%]", lambda row: 100.0 * row.flown.interval[0], 2),
    Column("to [%]", lambda row: 100.0 * row.flown.interval[1], 2),
    Column("reserve not used [%]", lambda row: 100.0 * row.untouched.share, 2),
)
_LIMITS = (
    Column("limit of", lambda row: bare(row.left.name)),
    Column("unit", lambda row: unit(row.left.name)),
    Column("left as planned", lambda row: row.left.planned, 2),
    Column("left in 99 %", lambda row: row.left.quantiles[0], 2),
    Column("left in half", lambda row: row.left.quantiles[1], 2),
    Column("holds [%]", lambda row: 100.0 * row.holds.share, 2),
    Column("from [%]", lambda row: 100.0 * row.holds.interval[0], 2),
    Column("to [%]", lambda row: 100.0 * row.holds.interval[1], 2),
)
_WHY = (
    Column("what stops", lambda row: row[0]),
    Column("missions", lambda row: row[1].count, 0),
    Column("of all [%]", lambda row: 100.0 * row[1].share, 2),
    Column("from [%]", lambda row: 100.0 * row[1].interval[0], 2),
    Column("to [%]", lambda row: 100.0 * row[1].interval[1], 2),
)
_TANKS = (
    Column("element", lambda row: row.element),
    Column("tank", lambda row: row.tank),
    Column("load [kg]", lambda row: row.load, 0),
    Column("left as planned [kg]", lambda row: row.left.planned, 1),
    Column("left in half [kg]", lambda row: row.left.quantiles[1], 1),
    Column("left in 99 % at least [kg]", lambda row: row.bound, 1),
    Column("to carry for 99 % [kg]", lambda row: row.carry, 0),
)
_DRIVEN = (
    Column("figure", lambda row: row[0].figure),
    Column("R2", lambda row: row[0].fit, 3),
    Column("linear", lambda row: "yes" if row[0].linear else "no: not told whole"),
    Column("driven by", lambda row: row[1].title),
    Column("standard deviations for one", lambda row: row[1].coefficient, 3),
    Column("share of the variance [%]", lambda row: 100.0 * row[1].share, 1),
)
