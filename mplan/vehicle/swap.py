"""One kind of engine put in another's place, on the same tanks."""

from __future__ import annotations

from typing import Any

from mplan.scenario import Engine, Scenario
from mplan.scenario.catalogue import Listed
from mplan.scenario.quantities import text
from mplan.vehicle.ledger import filled, thrust, thrust_at_sea_level

# What the element says of an engine, not the engine's file: it stays unless the new file says so.
_OF_THE_ELEMENT = frozenset(
    {
        *("origin", "count", "fuel", "oxidiser", "crossfeed", "purpose", "lever_arm"),
        *("settled_by", "settling_time", "settling_count"),
    }
)


LIKE = 0.2  # of today's thrust, by which a like one may differ
FURTHEST = 2.0  # times more or less, of the nearest count where none gives a like thrust
COUNTS = 3  # of one engine that are tried, the nearest
MOST = 16  # engines side by side (common practice, no source)


def swapped(scenario: Scenario, element: str, engine: str, new: Listed, count: int) -> Scenario:
    """Return the scenario with `count` of a catalogue's engine in place of an element's engine.

    The element's dry mass follows where both engines state theirs. Raises `ScenarioError` where
    the result would not do, as for a nozzle shorter than what it is nested in.
    """
    return scenario.change(changes(scenario, element, engine, new, count))


def changes(
    scenario: Scenario, element: str, engine: str, new: Listed, count: int
) -> dict[str, Any]:
    """Return what such a swap changes, by key."""
    old, path = scenario.elements[element].engines[engine], f"elements.{element}.engines.{engine}"
    gone = dict.fromkeys(old.model_fields_set - _OF_THE_ELEMENT)
    values = {f"{path}.{key}": value for key, value in {**gone, **new.data}.items()}
    values[f"{path}.count"] = count
    heavier = mass_change(old, new.engine, count)
    if heavier:
        dry = scenario.elements[element].dry_mass + heavier
        values[f"elements.{element}.dry_mass"] = text(dry, "kg")
    return values


def counts(old: Engine, new: Engine) -> list[int]:
    """Return how many new engines give a like thrust to the old ones: the counts worth a try."""
    rated = old.thrust_sea_level is not None and new.thrust_sea_level is not None
    total = thrust_at_sea_level if rated else thrust
    like = total(old) / total(new.model_copy(update={"count": 1}))
    nearest = sorted(range(1, MOST + 1), key=lambda n: (abs(n - like), n))
    found = sorted(n for n in nearest[:COUNTS] if abs(n / like - 1.0) <= LIKE)
    if found or like > MOST:
        return found
    return [n for n in nearest[:1] if 1.0 / FURTHEST <= n / like <= FURTHEST]


def fits(scenario: Scenario, element: str, engine: str, new: Engine) -> bool:
    """Tell whether an engine burns what the tanks hold, and lifts off where it must."""
    old = scenario.elements[element].engines[engine]
    lifts = old.thrust_sea_level is None or new.thrust_sea_level is not None
    held = burned(scenario, element, old)
    return new.purpose == old.purpose and new.propellants == held and lifts


def mass_change(old: Engine, new: Engine, count: int) -> float | None:
    """Return how much heavier `count` new engines are [kg]; None where a mass is not stated."""
    if old.mass is None or new.mass is None:
        return None
    return count * new.mass - old.count * old.mass


def burned(scenario: Scenario, element: str, engine: Engine) -> tuple[str, ...]:
    """Return what the tanks that an engine draws from hold, the fuel first."""
    tanks = scenario.elements[engine.crossfeed or element].tanks
    feeds = (engine.fuel, engine.oxidiser)
    return tuple(tanks[tank].propellant for tank in feeds if tank is not None)


def left_by_mixture(scenario: Scenario, element: str, engine: Engine) -> float:
    """Return the propellant [kg] that stays in one tank on the pad when the other runs dry."""
    return sum(filled(scenario).stranded(element, engine).values())
