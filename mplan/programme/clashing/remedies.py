"""Changes of a programme that were scheduled anew: what each gains in days, and what it costs.

What is bought here has no price in the file (a faster line, a second pad): the money told is what
the schedule itself shifts.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from mplan.checks.finding import Remedy
from mplan.physics.constants import DAY
from mplan.programme.clashing.holds import Hold
from mplan.programme.costs import by_year
from mplan.programme.schedule import Schedule, schedule
from mplan.programme.sense import table_of
from mplan.scenario.problems import ScenarioError
from mplan.scenario.wording import plain

YEAR_DAYS = 365.25
_Change = tuple[str, dict[str, Any]]


def for_hold(found: Schedule, key: str, hold: Hold, wanted: int) -> tuple[Remedy, ...]:
    """Return what was tried against what holds a launch; it closes if it lifts off by `wanted`."""
    tried = []
    for text, changes in _changes(found, key, hold):
        try:
            again = schedule(found.programme.change(changes), found.flying)
        except ScenarioError:
            continue
        before, after = found.solved.launches[key], again.solved.launches[key]
        outcome = (
            f"lifts off on {again.lift_off(key)}, {_days(before - after)}; {_end(found, again)}"
        )
        tried.append(Remedy(text, after <= wanted, outcome))
    return tuple(tried)


def for_budget(found: Schedule, year: int) -> tuple[Remedy, ...]:
    """Return what was tried against a year that costs more than it may."""
    may, tried = found.programme.budget[str(year)], []
    for text, changes in _cheaper(found, year):
        try:
            again = schedule(found.programme.change(changes), found.flying)
        except ScenarioError:
            continue
        spent, currency = by_year(again.costs).get(year, 0.0), found.programme.currency
        more = [
            int(x)
            for x, most in again.programme.budget.items()
            if by_year(again.costs).get(int(x), 0.0) > most and int(x) != year
        ]
        outcome = f"{year} costs {spent / 1e6:,.1f} M {currency}; {_end(found, again)}"
        outcome += f"; over budget in {', '.join(map(str, more))}" if more else ""
        tried.append(Remedy(text, spent <= may and not more, outcome))
    return tuple(tried)


def _changes(found: Schedule, key: str, hold: Hold) -> Iterator[_Change]:
    """Yield what could be changed about what holds a launch."""
    programme, name = found.programme, hold.name
    table = ".".join(map(str, table_of(programme, key)))
    if hold.kind == "element":
        supply = programme.elements[name]
        rate = f"{2.0 * supply.rate * YEAR_DAYS * DAY:.6g} /year"
        yield f"the line of the {plain(name)} twice as fast", {f"elements.{name}.rate": rate}
        shorter = f"{0.75 * supply.build_time / DAY:.6g} d"
        changes = {f"elements.{name}.build_time": shorter}
        yield f"the {plain(name)} built in three quarters of the time", changes
    elif hold.kind == "engine":
        engine = programme.engines[name]
        shorter = f"{0.75 * engine.delivery / DAY:.6g} d"
        if engine.delivery > 0.0:
            yield (
                f"{plain(name)} delivered in three quarters of the time",
                {f"engines.{name}.delivery": shorter},
            )
        if engine.qualification > 0.0:
            shorter = f"{0.75 * engine.qualification / DAY:.6g} d"
            yield (
                f"{plain(name)} qualified in three quarters of the time",
                {f"engines.{name}.qualification": shorter},
            )
    elif hold.kind in ("pad", "crew", "team"):
        kind = {"pad": "pads", "crew": "crews", "team": "control_teams"}[hold.kind]
        field = {"pad": "pad", "crew": "crew", "team": "control_team"}[hold.kind]
        tables = programme.written(kind)
        second = f"{name}_second"
        leaves = next((x.ship for x in found.asked[key].lift_offs if x.pad == name), "")
        taken = f"ships.{leaves}.pad" if hold.kind == "pad" and leaves else field
        yield (
            f"a second {plain(field)} like {name}",
            {
                f"{kind}.{second}": tables[name],
                f"{table}.{taken}": second,
            },
        )
        if hold.kind == "pad":
            half = f"{0.5 * programme.pads[name].turnaround / DAY:.6g} d"
            yield f"pad {name} turned round in half the time", {f"pads.{name}.turnaround": half}


def _cheaper(found: Schedule, year: int) -> Iterator[_Change]:
    """Yield what could shift money out of a year."""
    if found.programme.builds == "early":
        yield "units begun as late as launches allow", {"builds": "late"}
    spending = {each.mission for each in found.costs if each.year == year and each.mission}
    movable = [key for key in spending if found.asked[key].day is None]
    if movable:
        last = max(movable, key=lambda key: (found.solved.launches[key], key))
        day = found.lift_off(last)
        later = found.day(found.solved.launches[last] + round(YEAR_DAYS))
        table = ".".join(map(str, table_of(found.programme, last)))
        text = f"{found.programme.title(last)} a year after {day}, units as late as launches allow"
        yield text, {f"{table}.launch_not_before": later.isoformat(), "builds": "late"}


def _days(earlier: int) -> str:
    if earlier == 0:
        return "no earlier"
    return f"{abs(earlier)} d {'earlier' if earlier > 0 else 'later'}"


def _end(found: Schedule, again: Schedule) -> str:
    more = (again.total - found.total) / 1e6
    money = f", {more:+,.1f} M {found.programme.currency}" if abs(more) >= 0.05 else ""
    return (
        f"the programme ends on {again.finish}, {_days((found.finish - again.finish).days)}{money}"
    )
