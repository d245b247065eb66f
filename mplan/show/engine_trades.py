"""Trades of engines as a table and as a document."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import pandas as pd

from mplan.cautions import CAUTIONS
from mplan.physics.constants import DAY
from mplan.plan import Plan
from mplan.scenario import Scenario
from mplan.scenario.quantities import parse
from mplan.show.columns import Column
from mplan.show.launch_windows import closing
from mplan.studies.engines import Served, Trade, scan_engines

FORMAT = "mplan-engines/2"
MONTH = parse("1 month", "s")


def table(plan: Plan, element: str) -> pd.DataFrame:
    """Return what each engine that fits an element's tanks does to the whole mission, flown."""
    return frame(scan_engines(plan.scenario, element))


def frame(trades: Sequence[Trade]) -> pd.DataFrame:
    """Return one row a trade, the margin of each burn that the engine serves in its own column.

    A stage that burns out by plan has none; the column is then that of the burn it leaves it to.
    """
    from mplan.show.tables import framed  # brings pandas, which a document does without

    names = dict.fromkeys(each.burn for trade in trades for each in told(trade))
    own = [Column(f"{name}, margin [m/s]", _margin_of(name), 0) for name in names]
    return framed((*_FIRST, *own, *_LAST), trades)


def told(trade: Trade) -> list[Served]:
    """Return the burns whose margin tells what an engine is worth."""
    left = [each for each in trade.served if each.margin is not None]
    return left if left or trade.above is None else [trade.above]


def document(scenario: Scenario, trades: Iterable[Trade]) -> dict[str, Any]:
    """Return the trades as JSON values."""
    return {
        "format": FORMAT,
        "cautions": list(CAUTIONS),
        "scenario": {"name": scenario.mission.name, "hash": scenario.hash},
        "trades": [_trade(each) for each in trades],
    }


def months(trade: Trade) -> float | None:
    """Return a delivery time in mean months."""
    return None if trade.delivery_time is None else trade.delivery_time / MONTH


def tonnes(kilograms: float | None) -> float | None:
    """Return a mass in [t]."""
    return None if kilograms is None else kilograms / 1e3


def _short(trade: Trade) -> str:
    """Return why a trade does not close; nothing for one that does."""
    return "" if trade.closes else trade.outcome.removeprefix("does not close: ")


def _margin_of(name: str) -> Callable[[Trade], float | None]:
    return lambda trade: next((x.margin for x in told(trade) if x.burn == name), None)


def _trade(each: Trade) -> dict[str, Any]:
    return {
        "element": each.mount.element,
        "engine": each.mount.engine,
        "name": each.name,
        "count": each.count,
        "planned": each.planned,
        "closes": each.closes,
        "decisions_open": each.decisions_open,
        "outcome": each.outcome,
        "late": each.late or None,
        "tightest_burn": each.tightest or None,
        "tightest_margin_m_s": each.tightest_margin,
        "burns": [_burn(x) for x in each.served],
        "leaves_to": each.above and _burn(each.above),
        "lift_off_thrust_to_weight": each.lift_off,
        "dry_mass_change_kg": each.dry_mass,
        "height_change_m": each.height,
        "left_by_mixture_kg": each.left_by_mixture,
        "development_status": each.development_status,
        "nonrecurring_cost_millions": each.nonrecurring_cost,
        "unit_cost_millions": each.unit_cost,
        "cost_millions": each.cost,
        "delivery_time_d": None if each.delivery_time is None else each.delivery_time / DAY,
    }


def _burn(served: Served) -> dict[str, Any]:
    return {
        "burn": served.burn,
        "available_m_s": served.available,
        "margin_m_s": served.margin,
    }


_FIRST = (
    Column("engines", lambda x: f"{x.change} (as planned)" if x.planned else x.change),
    Column("plan closes", lambda x: closing(x.closes, x.decisions_open)),
    Column("tightest margin [m/s]", lambda x: x.tightest_margin, 0),
)
_LAST = (
    Column("lift-off thrust / weight [g0]", lambda x: x.lift_off, 2),
    Column("more dry mass [t]", lambda x: tonnes(x.dry_mass), 2),
    Column("more height [m]", lambda x: x.height, 2),
    Column("left by the mixture [t]", lambda x: tonnes(x.left_by_mixture), 2),
    Column("development status", lambda x: x.development_status or ""),
    Column("nonrecurring cost [millions]", lambda x: x.nonrecurring_cost, 0),
    Column("unit cost [millions]", lambda x: x.unit_cost, 0),
    Column("nonrecurring and units [millions]", lambda x: x.cost, 0),
    Column("delivery time [months]", months, 0),
    Column("why not", lambda x: "; ".join(filter(None, (_short(x), x.late)))),
)
