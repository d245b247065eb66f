"""Sensitivities in tables: a unit of each thing against every margin, and what a kilogram costs."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from mplan.scenario.wording import plain
from mplan.show.columns import Column
from mplan.show.notebook import Table
from mplan.show.tables import framed
from mplan.studies.sensitivities.differences import (
    NOISE,
    Effect,
    Sensitivities,
    Sensitivity,
)
from mplan.studies.sensitivities.exchange import Ratio

NONE = "Nothing was flown."


def margins(found: Sensitivities, burns: Sequence[str] | None = None) -> Table:
    """Return what one unit more does to each margin on which an engine ends, or to `burns`.

    A blank is lost in what solvers and steps leave (see `spread`), or was not flown.
    """
    names = found.ends if burns is None else burns
    own = [Column(f"{name} [m/s a unit]", _slope(name), 4) for name in names]
    return Table(framed((_FIRST, *own, *_LAST), found.found), NONE)


def felt(found: Sensitivities, burn: str = "") -> Table:
    """Return what one unit does to one margin, the tightest if none is named, the most first."""
    rows = ranked(found, burn or found.tightest)
    return Table(framed(_FELT, rows), NONE)


def exchange(ratios: Sequence[Ratio]) -> Table:
    """Return kilograms at lift-off for a kilogram of each element, and what pays, by burn."""
    names = dict.fromkeys(name for each in ratios for name in each.paid)
    own = [Column(f"propellant for {name} [kg/kg]", _paid(name), 2) for name in names]
    return Table(framed((*_RATIO, *own, *_CHECK), ratios), NONE)


def ranked(found: Sensitivities, burn: str) -> list[tuple[Sensitivity, Effect]]:
    """Return what can be told of one margin, the greatest effect of a unit first."""
    rows = [(x, x.effects[burn]) for x in found.found if burn in x.effects]
    told = [row for row in rows if row[1].value]
    return sorted(told, key=lambda row: -abs(row[1].slope))


def uneven(found: Sensitivities, burn: str) -> list[tuple[Sensitivity, Effect]]:
    """Return what is felt in a margin and grows by no one slope: it jumps within the steps."""
    rows = [(x, x.effects[burn]) for x in found.found if burn in x.effects]
    return [row for row in rows if row[1].lost and row[1].spread > _by_solvers(row[0])]


def _by_solvers(row: Sensitivity) -> float:
    """Return a spread [m/s a unit] that solvers may well leave: ten times what was measured."""
    return 10.0 * NOISE / row.variation.step


def _slope(name: str) -> Callable[[Sensitivity], float | None]:
    return lambda row: row.effects[name].value if name in row.effects else None


def _paid(name: str) -> Callable[[Ratio], float | None]:
    return lambda row: row.paid.get(name)


def _widest(row: Sensitivity) -> float | None:
    return max((x.spread for x in row.effects.values()), default=None)


_FIRST = Column("one more", lambda row: row.variation.title)
_LAST = (
    Column("lift-off [kg a unit]", lambda row: row.lift_off, 2),
    Column("greatest spread [m/s a unit]", _widest, 6),
    Column("step flown [units]", lambda row: row.variation.step, 2),
    Column("difference", lambda row: row.method or f"not flown: {row.trouble}"),
)
_FELT = (
    Column("one more", lambda row: row[0].variation.title),
    Column("margin [m/s a unit]", lambda row: row[1].value, 4),
    Column("spread [m/s a unit]", lambda row: row[1].spread, 6),
    Column("one unit more [m/s]", lambda row: row[1].more, 4),
    Column("one unit less [m/s]", lambda row: row[1].less, 4),
    Column("lift-off [kg a unit]", lambda row: row[0].lift_off, 2),
    Column("difference", lambda row: row[0].method),
)
_RATIO = (
    Column("a kilogram of", lambda row: plain(row.element)),
    Column("lift-off [kg/kg]", lambda row: row.ratio, 2),
    Column("spread [kg/kg]", lambda row: row.ratio and row.spread, 2),
)
_CHECK = (
    Column("greatest margin left over, flown [m/s a kg]", lambda x: x.ratio and x.left, 5),
    Column("not flown because", lambda row: row.trouble),
)
