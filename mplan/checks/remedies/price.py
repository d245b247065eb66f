"""What a change costs: margin, lift-off mass, height of the stack, engines bought, days."""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.burns import tightest
from mplan.flight.record import Flight
from mplan.physics.constants import DAY
from mplan.scenario import Engine, Scenario
from mplan.scenario.wording import plain
from mplan.vehicle.stack import on_pad


def costs(before: Flight, after: Flight) -> Iterator[str]:
    """Yield what a change costs; what stays the same, to the digits written, is not told."""
    yield from _stack(before.scenario, after.scenario)
    for name, ship in before.others.items():
        if name in after.others:
            both = ship.scenario, after.others[name].scenario
            yield from (f"{plain(name)}: {x}" for x in (*_stack(*both), *_launch(*both)))
    yield from _margin(before, after)
    yield from _engines_bought(before.scenario, after.scenario)
    longer = (after.duration - before.duration) / DAY
    if not (before.ended or after.ended) and abs(longer) >= 0.005:
        yield f"mission {_signed(longer, 'd', 2)}"
    yield from _launch(before.scenario, after.scenario)


def lift_off(before: Flight, after: Flight) -> float:
    """Return by how much [kg] more lifts off, of several launches together."""
    ships = (
        (before.scenario, after.scenario),
        *(
            (x.scenario, after.others[y].scenario)
            for y, x in before.others.items()
            if y in after.others
        ),
    )
    return sum(on_pad(new).mass - on_pad(old).mass for old, new in ships)


def _stack(before: Scenario, after: Scenario) -> Iterator[str]:
    """Yield how a ship differs on the pad."""
    old, new = on_pad(before), on_pad(after)
    if abs(new.mass - old.mass) >= 1.0:
        yield f"lift-off mass {mass_told(new.mass - old.mass)}"
    if abs(new.height - old.height) >= 0.005:
        yield f"height {_signed(new.height - old.height, 'm', 2)}"


def _launch(before: Scenario, after: Scenario) -> Iterator[str]:
    """Yield by how much the day changes on which a ship is launched."""
    later = (after.dates.launch_day - before.dates.launch_day).days
    if later:
        yield f"launch {later:+d} d"


def _margin(before: Flight, after: Flight) -> Iterator[str]:
    """Yield how the tightest margin of the mission changes, where both flights have all burns."""
    old, new = tightest(before), tightest(after)
    if before.ended or after.ended or old is None or new is None:
        return
    if abs(new.margin - old.margin) >= 0.5:
        yield f"tightest margin {_signed(new.margin - old.margin, 'm/s', 0)} ({new.name})"


def _engines_bought(before: Scenario, after: Scenario) -> Iterator[str]:
    """Yield the price of engines added, left off or put in the place of others."""
    for name, element in after.elements.items():
        for key, engine in element.engines.items():
            known = before.elements.get(name)
            old = known.engines.get(key) if known else None
            if old is None:
                yield _counted(engine, engine.count)
            elif engine.label != old.label:
                yield _swapped(old, engine)
            elif engine.count != old.count:
                yield _counted(engine, engine.count - old.count)


def _counted(engine: Engine, more: int) -> str:
    """Return the price of more engines of a type: units only, as it is developed anyway."""
    if engine.unit_cost is None:
        return "unit cost not stated"
    return f"cost {_signed(more * engine.unit_cost, 'millions', 1)}"


def _swapped(old: Engine, new: Engine) -> str:
    """Return the price of another type: its units less the old ones, and what it costs once."""
    if old.unit_cost is None or new.unit_cost is None:
        return "unit cost not stated"
    if new.nonrecurring_cost is None:
        return "nonrecurring cost not stated"
    units = new.count * new.unit_cost - old.count * old.unit_cost
    return f"cost {_signed(units + new.nonrecurring_cost, 'millions', 1)}"


def mass_told(value: float) -> str:
    """Return a difference of masses [kg] in tonnes, below 0.1 t in kilograms."""
    return _signed(value, "kg", 0) if abs(value) < 99.5 else _signed(value / 1e3, "t", 2)


def _signed(value: float, unit: str, digits: int) -> str:
    return f"{value:+.{digits}f} {unit}"
