"""The tables of a plan, in the units people read, for terminal, notebook, CSV and XLSX alike.

Every table is a pandas DataFrame whose headers carry the units; numbers stay numbers, rounded
to what they are good for.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import pandas as pd

from mplan.checks import contact as contact_check
from mplan.checks import counters
from mplan.checks import power as power_check
from mplan.checks import supplies as supply_check
from mplan.checks.limits import of as limits_of
from mplan.checks.thrusters import accounts
from mplan.flight.record import BurnRecord, Moment
from mplan.physics.constants import G0, HOUR
from mplan.plan import Plan
from mplan.scenario.wording import plain
from mplan.show import contact as contact_rows
from mplan.show import counters as counter_rows
from mplan.show import limits as limit_rows
from mplan.show import thrusters as thruster_rows
from mplan.show.columns import Column, cell, clock, started, text
from mplan.vehicle import geometry, mass
from mplan.vehicle.ledger import filled
from mplan.vehicle.living.account import balance

ESTIMATE = "estimate"


def budget(plan: Plan) -> pd.DataFrame:
    """Return the burns in flight order: required, available and margin, and what they cost."""
    return framed(_BUDGET, plan.every_burn)


def losses(plan: Plan) -> pd.DataFrame:
    """Return each burn's loss terms [m/s], one row a burn and cause."""
    rows = [(burn, cause, size) for burn in plan.burns for cause, size in burn.losses.items()]
    return framed(_LOSSES, rows)


def timeline(plan: Plan) -> pd.DataFrame:
    """Return what happens, in order of time."""
    columns = [
        Column("event", lambda moment: moment.event),
        Column("UTC", lambda moment: _utc(plan, moment.elapsed)),
        *_TIMELINE,
    ]
    return framed(columns, plan.every_moment)


def _utc(plan: Plan, elapsed: float) -> str | None:
    return f"{plan.flight.utc(elapsed):%Y-%m-%d %H:%M:%S}" if plan.flight.dated else None


def findings(plan: Plan) -> pd.DataFrame:
    """Return the findings, the gravest first."""
    return framed(_FINDINGS, plan.findings)


def remedies(plan: Plan) -> pd.DataFrame:
    """Return the changes that were flown for findings."""
    rows = [(finding, remedy) for finding in plan.findings for remedy in finding.remedies]
    return framed(_REMEDIES, rows)


def supplies(plan: Plan) -> pd.DataFrame:
    """Return what crew supplies and room for waste come to."""
    return framed(_SUPPLIES, supply_check.used(plan.flight))


def stores(plan: Plan) -> pd.DataFrame:
    """Return the balance of what people live on, element by element, in kilograms."""
    accounts, elements = plan.flight.end.ledger, plan.scenario.elements
    names = supply_check.kept(plan.flight)
    return framed(_STORES, [(x, balance(elements[x], accounts.account(x))) for x in names])


def power(plan: Plan) -> pd.DataFrame:
    """Return what became of the electric energy of every element that was in use."""
    return framed(_POWER, power_check.used(plan.flight))


def settling(plan: Plan) -> pd.DataFrame:
    """Return the starts settled first, with what settles them and the propellant it takes."""
    return framed(_SETTLING, [burn for burn in plan.burns if burn.settling])


def thrusters(plan: Plan) -> pd.DataFrame:
    """Return what thrusters drew by phase and item, then what is left, element by element."""
    rows = [row for each in accounts(plan.flight) for row in thruster_rows.of(each)]
    return framed(thruster_rows.COLUMNS, rows)


def limits(plan: Plan) -> pd.DataFrame:
    """Return every figure of the flight beside its limit, and what is left."""
    return framed(limit_rows.COLUMNS, limits_of(plan.flight))


def contact(plan: Plan) -> dict[str, pd.DataFrame]:
    """Return what stations see of burns and events, their passes, silences, and radio links."""
    log = contact_check.of(plan.flight)
    return {
        "seen": framed(contact_rows.SEEN, log.events),
        "station_passes": framed(contact_rows.PASSES, log.passes),
        "silences": framed(contact_rows.SILENCES, log.silences),
        "radio_links": framed(contact_rows.LINKS, log.links),
    }


def counted(plan: Plan) -> dict[str, pd.DataFrame]:
    """Return every counter: starts, thruster tanks, dockings, crew transfers, jettisons."""
    sheet = counters.of(plan.flight)
    return {
        name: framed(counter_rows.columns(name, plan), getattr(sheet, name))
        for name in counter_rows.TABLES
    }


def stack(plan: Plan) -> pd.DataFrame:
    """Return the elements from the pad up, with where each was described."""
    scenario, full = plan.scenario, filled(plan.scenario)
    rows = [(name, scenario.elements[name]) for name in scenario.order]
    columns = [
        *_STACK,
        Column("dry, with growth [t]", lambda row: mass.dry(row[1], scenario) / 1e3, 2),
        Column("propellant [t]", lambda row: full.propellant(row[0]) / 1e3, 2),
        Column("from", lambda row: row[1].origin or scenario.source.name),
    ]
    return framed(columns, rows)


def assumptions(plan: Plan) -> pd.DataFrame:
    """Return where each estimated figure comes from."""
    rows = [burn for burn in plan.burns if burn.estimate]
    return framed(_ASSUMPTIONS, rows)


def everything(plan: Plan) -> dict[str, pd.DataFrame]:
    """Return every table by name, in the order of a report."""
    return {
        "budget": budget(plan),
        "timeline": timeline(plan),
        "findings": findings(plan),
        "remedies": remedies(plan),
        "limits": limits(plan),
        **counted(plan),
        "losses": losses(plan),
        **contact(plan),
        "supplies": supplies(plan),
        "stores": stores(plan),
        "power": power(plan),
        "settling": settling(plan),
        "thrusters": thrusters(plan),
        "stack": stack(plan),
        "assumptions": assumptions(plan),
    }


def written(frame: pd.DataFrame) -> pd.DataFrame:
    """Return a table as people read it: every number with its column's decimals, as text."""
    chosen = frame.attrs["digits"]
    return frame.apply(lambda column: column.map(lambda x: text(x, chosen[column.name])))


def framed(columns: Iterable[Column], rows: Iterable[Any]) -> pd.DataFrame:
    """Return a table of one row a thing; the decimals of its columns stand in its attrs."""
    columns, rows = list(columns), list(rows)
    frame = pd.DataFrame({x.header: [cell(x, row) for row in rows] for x in columns})
    frame.attrs["digits"] = {x.header: x.digits for x in columns}
    return frame


def _margin(burn: BurnRecord) -> float | None:
    return None if burn.burns_out else burn.margin


def _marked(record: BurnRecord | Moment) -> str:
    return ESTIMATE if record.estimate else ""


_BUDGET = (
    Column("burn", lambda burn: burn.name),
    Column("element", lambda burn: plain(burn.element)),
    Column("required [m/s]", lambda burn: burn.required, 1),
    Column("available [m/s]", lambda burn: burn.available, 1),
    Column("reserved [m/s]", lambda burn: burn.reserved, 1),
    Column("margin [m/s]", _margin, 1),
    Column("propellant [kg]", lambda burn: burn.propellant, 0),
    Column("start", lambda burn: started(burn)),
    Column("burn time [s]", lambda burn: burn.duration, 1),
    Column("thrust/weight [g0]", lambda burn: burn.thrust_to_weight, 2),
    Column("basis", lambda burn: _marked(burn) or "flown"),
    Column("seen from Earth", lambda burn: burn.contact),
)

_LOSSES = (
    Column("burn", lambda row: row[0].name),
    Column("cause", lambda row: row[1]),
    Column("loss [m/s]", lambda row: row[2], 1),
    Column("basis", lambda row: _marked(row[0]) or "flown"),
    Column("note", lambda row: row[0].note),
)

_TIMELINE = (
    Column("since lift-off", lambda moment: clock(moment.elapsed)),
    Column("mass [t]", lambda moment: moment.mass / 1e3, 2),
    Column("attached", lambda moment: ", ".join(map(plain, moment.craft))),
    Column("basis", lambda moment: _marked(moment)),
)

_FINDINGS = (
    Column("severity", lambda finding: finding.severity),
    Column("check", lambda finding: finding.check),
    Column("event", lambda finding: plain(finding.event)),
    Column("finding", lambda finding: finding.text),
    Column("limit", lambda finding: finding.limit),
    Column("found", lambda finding: finding.found),
    Column("basis", lambda finding: finding.basis),
    Column("follows from", lambda finding: finding.cause),
)

_REMEDIES = (
    Column("finding", lambda row: row[0].text),
    Column("change that was flown", lambda row: row[1].change),
    Column("plan closes", lambda row: "yes" if row[1].closes else "no"),
    Column("outcome", lambda row: row[1].outcome),
)

_SUPPLIES = (
    Column("element", lambda use: plain(use.element)),
    Column("supply or storage", lambda use: use.label),
    Column("carried or storage [kg]", lambda use: use.capacity, 1),
    Column("used [kg]", lambda use: use.used, 1),
    Column("days left [d]", lambda use: use.days_left, 1),
    Column("lacks from [h]", lambda use: None if use.ran_out is None else use.ran_out / HOUR, 0),
    Column("basis", lambda use: "; ".join(filter(None, (use.note, use.basis)))),
)

_STORES = (
    Column("element", lambda row: plain(row[0])),
    Column("carried [kg]", lambda row: row[1].carried, 1),
    Column("water received [kg]", lambda row: row[1].received, 1),
    Column("lacking [kg]", lambda row: row[1].lacking or None, 1),
    Column("unused [kg]", lambda row: row[1].unused, 1),
    Column("kept as waste [kg]", lambda row: row[1].kept, 1),
    Column("overboard [kg]", lambda row: row[1].overboard, 1),
    Column("water passed on [kg]", lambda row: row[1].passed_on, 1),
    Column("aboard at the end [kg]", lambda row: row[1].aboard, 1),
)

_POWER = (
    Column("element", lambda use: plain(use.element)),
    Column("in use [h]", lambda use: use.time / HOUR, 1),
    Column("stored [kWh]", lambda use: use.stored / power_check.KWH, 1),
    Column("own load [kWh]", lambda use: use.used / power_check.KWH, 1),
    Column("steady supply [kWh]", lambda use: use.supplied / power_check.KWH, 1),
    Column("drawn from store [kWh]", lambda use: use.drawn / power_check.KWH, 1),
    Column("left [kWh]", lambda use: use.left / power_check.KWH, 1),
    Column("days left [d]", lambda use: use.days_left, 1),
    Column("short by [kWh]", lambda use: use.lacking / power_check.KWH or None, 1),
)

_SETTLING = (
    Column("burn", lambda burn: burn.name),
    Column("settled by", lambda burn: plain(burn.settling.element) or "nothing"),
    Column("push [g0]", lambda burn: burn.settling.acceleration / G0, 5),
    Column("for [s]", lambda burn: burn.settling.duration, 0),
    Column("starts", lambda burn: burn.settling.starts),
    Column("propellant [kg]", lambda burn: burn.settling.propellant, 1),
    Column("short by [kg]", lambda burn: burn.settling.lacks or None, 1),
    Column("Bond number", lambda burn: burn.settling.bond, 0),
)

_STACK = (
    Column("element", lambda row: row[1].label or plain(row[0])),
    Column("role", lambda row: row[1].role),
    Column("length [m]", lambda row: geometry.length(row[1]), 2),
    Column("diameter [m]", lambda row: row[1].diameter, 2),
)

_ASSUMPTIONS = (
    Column("burn", lambda burn: burn.name),
    Column("estimate from", lambda burn: burn.estimate),
)
