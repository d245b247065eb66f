"""One kind of engine put in another's place, on the same tanks."""

from __future__ import annotations

from mplan.scenario import Engine, Scenario
from mplan.scenario.catalogue import Listed
from mplan.scenario.quantities import text
from mplan.vehicle.ledger import filled

# What the element says of an engine, not the engine's file: it stays unless the new file says so.
_OF_THE_ELEMENT = frozenset(
    {
        *("origin", "count", "fuel", "oxidiser", "crossfeed", "purpose", "lever_arm"),
        *("settled_by", "settling_time", "settling_count"),
    }
)


def swapped(scenario: Scenario, element: str, engine: str, new: Listed, count: int) -> Scenario:
    """Return the scenario with `count` of a catalogue's engine in place of an element's engine.

    The element's dry mass follows where both engines state theirs. Raises `ScenarioError` where
    the result would not do, as for a nozzle shorter than what it is nested in.
    """
    old, path = scenario.elements[element].engines[engine], f"elements.{element}.engines.{engine}"
    gone = dict.fromkeys(old.model_fields_set - _OF_THE_ELEMENT)
    values = {f"{path}.{key}": value for key, value in {**gone, **new.data}.items()}
    values[f"{path}.count"] = count
    heavier = mass_change(old, new.engine, count)
    if heavier:
        dry = scenario.elements[element].dry_mass + heavier
        values[f"elements.{element}.dry_mass"] = text(dry, "kg")
    return scenario.change(values)


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
