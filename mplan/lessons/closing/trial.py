"""A learner's changes, or file, flown: which rule they break, what stops them, hints."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping
from html import escape

from mplan.comparing.keys import differing
from mplan.lessons.closing.hints import hints, stopping
from mplan.lessons.closing.task import NEAR, freed_of, values_of, with_values
from mplan.plan import Plan, fly
from mplan.scenario import Problem, Scenario, ScenarioError, load
from mplan.scenario.wording import plain
from mplan.show import notes
from mplan.show.columns import Column
from mplan.show.notebook import Table, Words, sentence, together
from mplan.show.tables import framed
from mplan.studies.sizing.freed import Freed

NAME = "mission.name"
Given = Mapping[str, object] | str | os.PathLike[str]


def stops(plan: Plan) -> Table:
    """Return what stops a plan: where, what is asked, what is there."""
    columns = (
        Column("stops at", lambda each: plain(each.event)),
        Column("what", lambda each: each.text),
        Column("limit", lambda each: each.limit),
        Column("found", lambda each: each.found),
    )
    return Table(framed(columns, stopping(plan)), "Nothing stops it.")


def attempt(scenario: Scenario, free: Iterable[str], given: Given, level: int = 1) -> Words:
    """Fly a learner's changes of the scenario, or a file made from it, and say how it went.

    `free` are the keys that may change, each with its range; `level` 0 to 3 is how much the
    hints say. A broken rule is said, and nothing flown.
    """
    freed = freed_of(scenario, free)
    try:
        plan = fly(changed(scenario, freed, given))
    except ScenarioError as problems:
        return _refused(problems)
    parts = [Words(notes.verdict(plan), plan.verdict)]
    if plan.closes:
        parts.append(sentence(_closed(plan)))
    elif level:
        parts.append(sentence(f"Hints, level {min(level, 3)} of 3:"))
        parts.append(hints(plan, freed, level))
    return together(*parts)


def changed(scenario: Scenario, freed: tuple[Freed, ...], given: Given) -> Scenario:
    """Return the scenario as a learner has it; ScenarioError for whatever is not free."""
    if isinstance(given, Mapping):
        return with_values(scenario, freed, given)
    file = load(given)
    ours = with_values(scenario, freed, values_of(file, freed))
    others = [x.key for x in differing(scenario, file) if not _may(x.key, freed, ours, file)]
    said = f"is not free; accepted: {', '.join(each.key for each in freed)}"
    if others:
        raise ScenarioError([Problem(os.fspath(given), key, said) for key in others])
    return file


def _may(key: str, freed: Iterable[Freed], ours: Scenario, file: Scenario) -> bool:
    """Return whether a file may differ in a key: a name, what is free, and what follows from it.

    From a load follow those of its tanks, and a mass of the stage no less than they ask for.
    """
    if key == NAME or key in {each.key for each in freed}:
        return True
    for name in (each.element for each in freed if each.kind == "load"):
        if key.startswith(f"elements.{name}.tanks.") and key.endswith(".load"):
            return True
        if key == f"elements.{name}.dry_mass":
            return file.elements[name].dry_mass >= ours.elements[name].dry_mass * (1.0 - NEAR)
    return False


def _refused(problems: ScenarioError) -> Words:
    lines = [f"{each.key}: {each.text}" for each in problems.problems]
    items = "".join(f"<li>{escape(line)}</li>" for line in lines)
    head = notes.trouble("Not flown: the rules of the lesson are not kept.")
    return Words(f"{head}<ul>{items}</ul>", "\n".join(["Not flown:", *lines]))


def _closed(plan: Plan) -> str:
    """Return what a plan that closes leaves, and what a planner would ask next."""
    tight = plan.tightest
    margin = (
        f" The thinnest margin is {tight.margin:,.0f} m/s, after {tight.name}." if tight else ""
    )
    asked = f" Decisions left open: {plan.decisions_open}." if plan.decisions_open else ""
    return f"Closed, within every limit.{margin}{asked} Could it land more, or stay lighter?"
