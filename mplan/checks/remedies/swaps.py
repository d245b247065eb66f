"""Engines of the catalogue in another's place, and more of the same: keys and words of it."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from mplan.checks.remedies import weights
from mplan.checks.remedies.proposal import Proposal
from mplan.scenario import Engine, Scenario, ScenarioError, catalogue
from mplan.scenario.wording import plain
from mplan.vehicle import swap
from mplan.vehicle.ledger import thrust

TRIED = 2  # engines of the catalogue, the best by what is asked for


def others(
    scenario: Scenario,
    element: str,
    engine: str,
    good: Callable[[Engine], bool],
    best: Callable[[Engine], float],
) -> Iterator[Proposal]:
    """Yield engines that fit the mount and are `good`, mounted; the least `best` first."""
    old = scenario.elements[element].engines[engine]
    try:
        listed = catalogue.read(catalogue.folder(scenario, element, engine))
    except ScenarioError:
        return  # no catalogue to take one from
    found = []
    for each in listed:
        counts = swap.counts(old, each.engine) if fits(scenario, element, engine, each) else []
        mounted = [each.engine.model_copy(update={"count": count}) for count in counts]
        found += [(best(x), each, x.count) for x in mounted if good(x)]
    for _, each, count in sorted(found, key=lambda x: (x[0], x[1].name))[:TRIED]:
        values = swap.changes(scenario, element, engine, each, count)
        number = f"{count} " if count > 1 else ""
        yield Proposal(f"{number}{each.name} on the {plain(element)}", values)


def fits(scenario: Scenario, element: str, engine: str, new: catalogue.Listed) -> bool:
    """Tell whether a listed engine is another one that fits the mount."""
    old = scenario.elements[element].engines[engine]
    return new.name != old.label and swap.fits(scenario, element, engine, new.engine)


def one_more(scenario: Scenario, element: str, engine: str, more: int = 1) -> Proposal:
    """Return one more engine of the same kind (or fewer, if negative), with what it weighs."""
    now = scenario.elements[element].engines[engine]
    bodies = scenario.elements[element].bodies
    count = now.count + more * bodies
    key = f"elements.{element}.engines.{engine}.count"
    each, basis = now.mass, ""
    if each is None:
        each, basis = weights.ENGINE.value * thrust(now) / now.count, weights.ENGINE.source
    weight = weights.heavier(scenario, element, (count - now.count) * each)
    said = f"{count} engines on the {plain(element)}"
    return Proposal(said, {key: count, **weight}, f"engine's mass: {basis}" if basis else "")
