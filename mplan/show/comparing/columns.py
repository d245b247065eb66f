"""What stands in the tables of a comparison: A, B, and the difference, which is B less A."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import Any

from mplan.comparing import BurnPair, ElementPair, FigurePair, LimitPair, MomentPair
from mplan.comparing.masses import ElementMass
from mplan.flight.record import BurnRecord
from mplan.scenario.wording import plain
from mplan.show import limits
from mplan.show.columns import Column, clock

NONE = "-"  # where a plan has no such thing

KEYS = (
    Column("key", lambda x: x.key),
    Column("A", lambda x: "not stated" if x.a is None else x.a),
    Column("B", lambda x: "not stated" if x.b is None else x.b),
)


def _figure(value: float | None, pair: FigurePair) -> str:
    return NONE if value is None else f"{round(value, pair.digits) + 0.0:,.{pair.digits}f}"


def signed(value: float | None, digits: int) -> str:
    """Return a difference with its sign; nothing where there is none, "same" for none to tell."""
    if value is None:
        return ""
    return f"{value:+,.{digits}f}" if abs(value) >= 0.5 * 10.0**-digits else "same"


FIGURES = (
    Column("figure", lambda x: x.name),
    Column("A", lambda x: _figure(x.a, x)),
    Column("B", lambda x: _figure(x.b, x)),
    Column("B - A", lambda x: signed(x.difference, x.digits)),
    Column("unit", lambda x: x.unit),
)


def later(seconds: float | None) -> str:
    """Return by how much something is later, as a clock has it, with its sign."""
    if seconds is None:
        return ""
    if abs(seconds) < 0.5:
        return "same"
    return f"{'+' if seconds > 0.0 else '-'}{clock(abs(seconds))}"


def _utc(when: datetime | None) -> str:
    return NONE if when is None else f"{when:%Y-%m-%d %H:%M:%S}"


DATES = (
    Column("date", lambda x: x.name),
    Column("A [UTC]", lambda x: _utc(x.a)),
    Column("B [UTC]", lambda x: _utc(x.b)),
    Column("later in B by", lambda x: later(x.later)),
)


def _of_either(pair: Any, say: Callable[[Any], str]) -> str:  # noqa: ANN401 (pairs of any record)
    """Return what is said of the one there is, or of both where that differs."""
    return " / ".join(dict.fromkeys(say(x) for x in (pair.a, pair.b) if x is not None))


def _in(pair: Any, say: Callable[[Any], Any]) -> tuple[Any, Any]:  # noqa: ANN401
    """Return what is said of A and of B, a dash where a plan has none."""
    a, b = (NONE if x is None else say(x) for x in (pair.a, pair.b))
    return a, b


def _less(pair: Any, value: Callable[[Any], float | None], digits: int) -> str:  # noqa: ANN401
    """Return by how much the value of B is more than that of A."""
    a, b = (None if x is None else value(x) for x in (pair.a, pair.b))
    return signed(None if a is None or b is None else b - a, digits)


def _margin(burn: BurnRecord) -> float | None:
    return None if burn.burns_out else burn.margin


def _speed(value: float | None) -> str:
    return NONE if value is None else f"{round(value, 1) + 0.0:,.1f}"


def _burn(pair: BurnPair) -> str:
    elements = _of_either(pair, lambda x: plain(x.element))
    moved = f" ({elements})" if " / " in elements else ""
    return _of_either(pair, lambda x: f"{x.name}{' (estimate)' if x.estimate else ''}") + moved


BURNS = (
    Column("burn", _burn),
    Column("A required [m/s]", lambda x: _in(x, lambda y: _speed(y.required))[0]),
    Column("B required [m/s]", lambda x: _in(x, lambda y: _speed(y.required))[1]),
    Column("B - A required [m/s]", lambda x: _less(x, lambda y: y.required, 1)),
    Column("A margin [m/s]", lambda x: _in(x, lambda y: _speed(_margin(y)))[0]),
    Column("B margin [m/s]", lambda x: _in(x, lambda y: _speed(_margin(y)))[1]),
    Column("B - A margin [m/s]", lambda x: _less(x, _margin, 1)),
    Column("A propellant [kg]", lambda x: _in(x, lambda y: f"{y.propellant:,.0f}")[0]),
    Column("B propellant [kg]", lambda x: _in(x, lambda y: f"{y.propellant:,.0f}")[1]),
)


def _tonnes(pair: ElementPair, say: Callable[[ElementMass], float], place: int) -> str:
    return _in(pair, lambda x: f"{say(x) / 1e3:,.3f}")[place]


MASSES = (
    Column("element", lambda x: _of_either(x, lambda y: y.name)),
    Column("A dry [t]", lambda x: _tonnes(x, lambda y: y.dry, 0)),
    Column("B dry [t]", lambda x: _tonnes(x, lambda y: y.dry, 1)),
    Column("A propellant [t]", lambda x: _tonnes(x, lambda y: y.propellant, 0)),
    Column("B propellant [t]", lambda x: _tonnes(x, lambda y: y.propellant, 1)),
    Column("both, B - A [t]", lambda x: _less(x, lambda y: y.total / 1e3, 3)),
)


def _limit(pair: LimitPair) -> str:
    return _of_either(pair, lambda x: x.name)


def limit_reads_otherwise(pair: LimitPair) -> bool:
    """Tell whether the table shows that a row differs, in what is used or left.

    Control authority is told in percent: its last digits, which every change of mass moves, say
    nothing.
    """
    if not pair.differs or pair.a is None or pair.b is None:
        return pair.differs
    a, b = _in(pair, limits.left)
    used = _in(pair, limits.used)
    return a != b or (pair.a.kind != "control authority" and used[0] != used[1])


LIMITS = (
    Column("limit of", lambda x: _of_either(x, lambda y: y.kind)),
    Column("what", _limit),
    Column("A used", lambda x: _in(x, limits.used)[0]),
    Column("B used", lambda x: _in(x, limits.used)[1]),
    Column("A left", lambda x: _in(x, limits.left)[0]),
    Column("B left", lambda x: _in(x, limits.left)[1]),
)

FINDINGS = (
    Column("what", lambda x: x.what),
    Column("severity", lambda x: _of_either(x, lambda y: y.severity)),
    Column("check", lambda x: _of_either(x, lambda y: y.check)),
    Column("A", lambda x: _in(x, lambda y: y.text)[0]),
    Column("B", lambda x: _in(x, lambda y: y.text)[1]),
)


def _mass(pair: MomentPair, place: int) -> str:
    return _in(pair, lambda x: f"{x.mass / 1e3:,.2f}")[place]


EVENTS = (
    Column("event", lambda x: _of_either(x, lambda y: y.event)),
    Column("A since lift-off", lambda x: _in(x, lambda y: clock(y.elapsed))[0]),
    Column("B since lift-off", lambda x: _in(x, lambda y: clock(y.elapsed))[1]),
    Column("later in B by", lambda x: later(x.later)),
    Column("A mass [t]", lambda x: _mass(x, 0)),
    Column("B mass [t]", lambda x: _mass(x, 1)),
)
