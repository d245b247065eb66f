"""Sensitivities in tables: a unit of each thing against every margin, and what a kilogram costs."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from mplan.scenario.wording import plain
from mplan.show.columns import Column
from mplan.show.notebook import Table
from mplan.show.tables import framed
from mplan.studies.sensitivities.differences import NOISE, Sensitivities, Sensitivity
from mplan.studies.sensitivities.effects import Effect
from mplan.studies.sensitivities.exchange import Ratio
from mplan.studies.sensitivities.jumps import Jump

NONE = "Nothing was flown."
TRIFLE = 5e-5  # m/s a unit: what is felt less in a margin shows as zero
SHARE = 0.005  # kg/kg: propellant for a burn that shows as zero


def margins(found: Sensitivities, burns: Sequence[str] | None = None) -> Table:
    """Return what one unit more does to each margin on which an engine ends, or to `burns`.

    A blank is lost in what solvers and steps leave (see `spread`), or was not flown.
    """
    names = found.ends if burns is None else burns
    own = [Column(f"{name} [m/s a unit]", _slope(name), 4) for name in names]
    return Table(framed((_FIRST, *own, *_LAST), found.found), NONE)


def rooms(found: Sensitivities, limits: Sequence[str] | None = None) -> Table:
    """Return what one unit more does to what is left of each limit that a brief tells, or `limits`.

    Blanks as in `margins`; a limit that nothing is felt in has no column.
    """
    names = found.in_brief if limits is None else limits
    own = [
        Column(f"{name} [{found.limits[name].unit} a unit]", _left(name), 5)
        for name in names
        if limits is not None or ranked(found, name)
    ]
    return Table(framed((_FIRST, *own), found.found), NONE)


def jumps(found: Sensitivities) -> Table:
    """Return how near jumps are: past so much of a change a margin falls or rises at once."""
    rows = [(each, jump) for each in found.found for jump in each.jumps]
    return Table(framed(_JUMPS, rows), "No margin jumps within six steps of any change.")


def felt(found: Sensitivities, burn: str = "") -> Table:
    """Return what one unit does to one margin, the tightest if none is named, the most first."""
    rows = ranked(found, burn or found.tightest)
    return Table(framed(_FELT, rows), NONE)


def exchange(ratios: Sequence[Ratio]) -> Table:
    """Return kilograms at lift-off for a kilogram of each element, and what pays, by burn.

    Burns that pay next to nothing have no column.
    """
    paid = [pair for each in ratios for pair in each.paid.items()]
    names = dict.fromkeys(name for name, amount in paid if abs(amount) >= SHARE)
    own = [Column(f"propellant for {name} [kg/kg]", _paid(name), 2) for name in names]
    return Table(framed((*_RATIO, *own, *_CHECK), ratios), NONE)


def ranked(found: Sensitivities, name: str) -> list[tuple[Sensitivity, Effect]]:
    """Return what can be told of one margin or limit, the greatest effect of a unit first."""
    known = [(x, {**x.rooms, **x.effects}) for x in found.found]
    rows = [(x, effects[name]) for x, effects in known if name in effects]
    least = TRIFLE if name in found.margins else 0.0
    told = [row for row in rows if row[1].value and abs(row[1].value) >= least]
    return sorted(told, key=lambda row: -abs(row[1].slope))


def uneven(found: Sensitivities, burn: str) -> list[tuple[Sensitivity, Effect]]:
    """Return what is felt in a margin and grows by no one slope: it jumps within the steps."""
    rows = [(x, x.effects[burn]) for x in found.found if burn in x.effects]
    return [row for row in rows if row[1].lost and row[1].spread > _by_solvers(row[0])]


def until_then(found: Sensitivities, ratios: Sequence[Ratio] = (), elements: int = 0) -> str:
    """Return how much was flown before it was stopped, of `elements` whose ratios were asked for.

    "" where all was.
    """
    if not found.stopped and len(ratios) >= elements:
        return ""
    more = f", and {len(ratios)} of {elements} exchange ratios" if elements else ""
    return f"Stopped: {len(found.found)} of {found.asked} changes were flown{more}."


def _by_solvers(row: Sensitivity) -> float:
    """Return a spread [m/s a unit] that solvers may well leave: ten times what was measured."""
    return 10.0 * NOISE / row.variation.step


def _slope(name: str) -> Callable[[Sensitivity], float | None]:
    return lambda row: row.effects[name].value if name in row.effects else None


def _left(name: str) -> Callable[[Sensitivity], float | None]:
    return lambda row: row.rooms[name].value if name in row.rooms else None


def jump_words(jump: Jump, unit: str) -> str:
    """Return a jump in a line: between which amounts, the margin that jumps, and what else does."""
    near, far = f"{jump.near:+.3g}", f"{jump.far:+.3g} {unit}"
    cause = f"; {jump.cause}" if jump.cause else ""
    return f"between {near} and {far}: {jump.by:+,.0f} m/s after {jump.burn}{cause}"


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
_JUMPS = (
    Column("change", lambda row: row[0].variation.title),
    Column("not yet with [units]", lambda row: row[1].near, 3),
    Column("with [units]", lambda row: row[1].far, 3),
    Column("margin", lambda row: row[1].burn),
    Column("jump [m/s]", lambda row: row[1].by, 1),
    Column("what else is not the same", lambda row: row[1].cause or "nothing found"),
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
