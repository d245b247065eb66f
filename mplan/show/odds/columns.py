"""Columns of odds: as tables of a page have them, with all figures, and narrow for a terminal."""

from __future__ import annotations

from typing import Any

from mplan.show.columns import Column
from mplan.show.odds import words
from mplan.studies.odds import Probability


def bare(name: str) -> str:
    """Return what a figure is of, without its unit and without what it is."""
    return name.removeprefix("left after ").removeprefix("left of ").rpartition(" [")[0] or name


def unit(name: str) -> str:
    """Return the unit of a figure, "" for a number."""
    return name.rpartition(" [")[2].rstrip("]") if name.endswith("]") else ""


def _planned(row: Any) -> float:  # noqa: ANN401 (a row of burns, limits or tanks)
    return row.left.planned


def _in_99(row: Any) -> float:  # noqa: ANN401
    return row.left.quantiles[0]


def _in_half(row: Any) -> float:  # noqa: ANN401
    return row.left.quantiles[1]


def _limit(row: Any) -> str:  # noqa: ANN401
    return bare(row.left.name)


def _unit(row: Any) -> str:  # noqa: ANN401
    return unit(row.left.name)


def _shares(header: str, of: str) -> tuple[Column, Column, Column]:
    """Return a probability [%] and the interval that it lies in, of what a row calls `of`."""

    def chance(row: Any) -> Probability:  # noqa: ANN401
        return row[1] if of == "" else getattr(row, of)

    return (
        Column(f"{header} [%]", lambda row: 100.0 * chance(row).share, 2),
        Column("from [%]", lambda row: 100.0 * chance(row).interval[0], 2),
        Column("to [%]", lambda row: 100.0 * chance(row).interval[1], 2),
    )


BURNS = (
    Column("burn", lambda row: row.name),
    Column("left as planned [m/s]", _planned, 1),
    Column("left in 99 % [m/s]", _in_99, 1),
    Column("left in half [m/s]", _in_half, 1),
    Column("reserve [m/s]", lambda row: row.reserve, 1),
    *_shares("has its propellant", "flown"),
    Column("reserve not used [%]", lambda row: 100.0 * row.untouched.share, 2),
)
NARROW_BURNS = (
    BURNS[0],
    Column("as\nplanned", _planned, 1),
    Column("in\nhalf", _in_half, 1),
    Column("in\n99 %", _in_99, 1),
    Column("has its propellant\n%, 95 % confidence", lambda row: words.share(row.flown)),
    Column("reserve\nm/s", lambda row: row.reserve, 1),
    Column("not used\n%", lambda row: words.percent(row.untouched.share)),
)
LIMITS = (
    Column("limit of", _limit),
    Column("unit", _unit),
    Column("left as planned", _planned, 2),
    Column("left in 99 %", _in_99, 2),
    Column("left in half", _in_half, 2),
    *_shares("holds", "holds"),
)
NARROW_LIMITS = (
    *LIMITS[:2],
    Column("left as\nplanned", _planned, 2),
    Column("left in\n99 %", _in_99, 2),
    Column("holds\n%, 95 % confidence", lambda row: words.share(row.holds)),
)
WHY = (
    Column("what stops", lambda row: row[0]),
    Column("missions", lambda row: row[1].count, 0),
    *_shares("of all", ""),
)
NARROW_WHY = (
    Column("what", lambda row: row[0]),
    WHY[1],
    Column("of all\n%, 95 % confidence", lambda row: words.share(row[1])),
)
TANKS = (
    Column("element", lambda row: row.element),
    Column("tank", lambda row: row.tank),
    Column("load [kg]", lambda row: row.load, 0),
    Column("left as planned [kg]", _planned, 1),
    Column("left in half [kg]", _in_half, 1),
    Column("left in 99 % at least [kg]", lambda row: row.bound, 1),
    Column("to carry for 99 % [kg]", lambda row: row.carry, 0),
)
_KILOGRAMS = ("load", "left as\nplanned", "left in\nhalf", "left in 99 %\nat least")
NARROW_TANKS = (
    *TANKS[:2],
    *(
        x._replace(header=header)
        for x, header in zip(TANKS[2:], (*_KILOGRAMS, "to carry\nfor 99 %"), strict=True)
    ),
)
DRIVEN = (
    Column("figure", lambda row: row[0].figure),
    Column("R2", lambda row: row[0].fit, 3),
    Column("linear", lambda row: "yes" if row[0].linear else "no: not told whole"),
    Column("driven by", lambda row: row[1].title),
    Column("standard deviations for one", lambda row: row[1].coefficient, 3),
    Column("share of the variance [%]", lambda row: 100.0 * row[1].share, 1),
)
NARROW_DRIVEN = (  # of rows in which a figure is named once
    Column("figure", lambda row: row[0]),
    Column("R2", lambda row: row[1]),
    Column("what", lambda row: row[2].title),
    Column("by", lambda row: f"{row[2].coefficient:+.2f}"),
    Column("variance\n%", lambda row: 100.0 * row[2].share, 0),
)
