"""Engines that a mount may be given: those named, or all of the catalogue that fit."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from mplan.scenario import Engine, Scenario, catalogue
from mplan.scenario.catalogue import Listed
from mplan.scenario.wording import choices, hint, shown
from mplan.studies.sizing.ranges import refuse
from mplan.vehicle import swap


@dataclass(frozen=True)
class Option:
    """One of a choice: as it is named, and the engine that it stands for, if it is one."""

    name: str
    value: Any = None  # as a file has it
    listed: Listed | None = None
    count: int = 1


def only_engine(key: str, name: str, scenario: Scenario) -> str:
    """Return the one kind of main engine of an element; refuse where it has none or several."""
    mounted = {k: x for k, x in scenario.elements[name].engines.items() if x.purpose == "main"}
    if len(mounted) != 1:
        accepted = choices(f"elements.{name}.engines.{each}" for each in mounted)
        refuse(key, f"{name} has {len(mounted)} kinds of main engines; accepted: {accepted}")
    return next(iter(mounted))


def options(scenario: Scenario, key: str, span: str, name: str, engine: str) -> tuple[Option, ...]:
    """Return the engines that a range names by `A|B`; all that fit and give a like thrust if none.

    ScenarioError for one that does not fit.
    """
    old = scenario.elements[name].engines[engine]
    fitting = [
        each
        for each in catalogue.read(catalogue.folder(scenario, name, engine))
        if swap.fits(scenario, name, engine, each.engine)
    ]
    names = [each.strip() for each in span.split("|")]
    if not span:
        names = [each.name for each in fitting if each.name == old.label or _like(old, each)]
    return tuple(_option(key, each, old, fitting) for each in names)


def said(engine: Engine, key: str) -> str:
    """Return engines as people say them: `2 x Dimity-11`; by their key where they have no label."""
    return f"{engine.count} x {engine.label or key}"


def _like(old: Engine, each: Listed) -> bool:
    return bool(swap.counts(old, each.engine))


def _option(key: str, given: str, old: Engine, fitting: list[Listed]) -> Option:
    """Return an engine of the catalogue by its name, with the count that is named or is like."""
    match = re.match(r"(?:(\d+)\s*x\s+)?(.+)$", given)
    asked, name = (match[1], match[2]) if match else (None, given)
    known = {x: each for each in fitting for x in (each.name, each.file.split("/")[-1][:-5])}
    if name == old.label and (asked is None or int(asked) == old.count):
        return Option(said(old, name), count=old.count)
    if name not in known:
        accepted = list(dict.fromkeys(each.name for each in fitting))
        refuse(key, f"found {shown(name)}, no engine that fits; {hint(name, accepted)}")
    listed = known[name]
    like = swap.counts(old, listed.engine)
    count = int(asked) if asked else _nearest(old, listed, like)
    return Option(f"{count} x {listed.name}", listed=listed, count=count)


def _nearest(old: Engine, listed: Listed, like: list[int]) -> int:
    """Return the count whose thrust is most like that of today; today's count if none is."""
    each = listed.engine.thrust_vacuum
    total = old.count * old.thrust_vacuum
    return min(like, key=lambda n: abs(n * each - total), default=old.count)
