"""Hints from the findings of a learner's own plan, in levels: where, what and which way.

Level 1 says where it stops, level 2 what is lacking there and in which direction each free key
moves it, level 3 by how much for one step. Directions and steps are flown, from the plan as it is;
what to change, and by how much, is never said.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from html import escape
from math import isclose

from mplan.checks.finding import Finding
from mplan.lessons.closing.task import values_of
from mplan.plan import Plan, fly
from mplan.scenario import ScenarioError
from mplan.scenario.figures import Measured, apart
from mplan.scenario.quantities import number_in
from mplan.scenario.wording import plain
from mplan.show.notebook import Words
from mplan.studies.sizing.freed import Freed
from mplan.studies.sizing.laying import laid

STEPS = 8.0  # into which a key's range is divided
FELT = 0.01  # of what is lacking: what moves it by less is not called a way to mend it


def stopping(plan: Plan) -> tuple[Finding, ...]:
    """Return what stops a plan and follows from nothing else, in the order of the plan."""
    return tuple(each for each in plan.findings if each.rank == 0 and not each.cause)


def hints(plan: Plan, freed: Sequence[Freed], level: int) -> Words:
    """Return the hints of a level, 0 for none to 3."""
    found = list(_lines(plan, freed, level))
    items = "".join(f"<li>{escape(line)}</li>" for line in found)
    return Words(f"<ul>{items}</ul>" if found else "", "\n".join(found))


def _lines(plan: Plan, freed: Sequence[Freed], level: int) -> Iterator[str]:
    stops = stopping(plan)
    if not stops or level < 1:
        return
    if level == 1:
        yield from (f"It stops at: {_where(each)}." for each in stops)
        return
    yield from (f"{each.text} (limit {each.limit}, found {each.found})." for each in stops)
    for each in freed:
        yield from _of_key(plan, stops, each, told=level > 2)


def _of_key(plan: Plan, stops: Sequence[Finding], freed: Freed, *, told: bool) -> Iterator[str]:
    """Yield what one step of a free key does to each stop that it moves."""
    step, way = _step(plan, freed)
    moved = _stepped(plan, freed, step)
    if moved is None:
        return
    of = freed.written(abs(step)) if told else "a step"
    effects = [_effect(plan, each, moved, told=told) for each in stops]
    said = [f"{_where(x)}: {y}" for x, y in zip(stops, effects, strict=True) if y]
    new = [x for x in stopping(moved) if not any(_same(x, y) for y in stops)]
    said += [f"then it stops at {_where(x)} as well" for x in new]
    yield f"{freed.key}, {of} {way}: {'; '.join(said) or 'nothing that stops it changes'}."


def _step(plan: Plan, freed: Freed) -> tuple[float, str]:
    """Return a step of a key, up where there is room for it, else down; and its name."""
    size = (freed.high - freed.low) / STEPS
    up = _now(plan, freed) + size <= freed.high
    return (size, "more") if up else (-size, "less")


def _now(plan: Plan, freed: Freed) -> float:
    return number_in(values_of(plan.scenario, [freed])[freed.key], freed.unit)


def _stepped(plan: Plan, freed: Freed, step: float) -> Plan | None:
    """Return the plan with a key moved, its climb steered as before; None where it cannot fly."""
    try:
        return fly(laid(plan.scenario, {freed: _now(plan, freed) + step}), like=plan)
    except ScenarioError:
        return None


def _effect(plan: Plan, finding: Finding, moved: Plan, *, told: bool) -> str:
    """Return what became of a finding of a plan; "" where nothing did."""
    now = next((x for x in moved.findings if x.rank == 0 and _same(x, finding)), None)
    if now is None:
        return "no longer stops it"
    before, after = lacking(plan, finding), lacking(moved, now)
    if before is None or after is None or isclose(before.left, after.left, rel_tol=FELT):
        return ""
    word = "nearer to its limit" if after.left > before.left else "further from its limit"
    first, second = apart(-after.left, -before.left, before.digits)
    return f"{word}, {first} {before.unit} off, not {second}" if told else word


def _where(finding: Finding) -> str:
    """Return what a finding is about: two of different kinds may be about one element."""
    return f"{plain(finding.event)} ({finding.check})"


def _same(one: Finding, other: Finding) -> bool:
    return (one.check, one.event, one.subject) == (other.check, other.event, other.subject)


def lacking(plan: Plan, finding: Finding) -> Measured | None:
    """Return a finding's limit and what was found, of a burn with its reserve; None if no numbers.

    A burn may lack what it requires, or only what is reserved beside it: one limit for both, else
    a step that mends the first would look like one away from the second.
    """
    burn = next((x for x in plan.burns if x.name == finding.event), None)
    if burn is not None and finding.check == "delta-v":
        return Measured(burn.required + burn.reserved, burn.available, "m/s", 0, least=True)
    return finding.figures.measure
