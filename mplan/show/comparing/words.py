"""A comparison in words: which two plans, whether they close, how much differs."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from mplan.comparing import Comparison, FindingPair
from mplan.plan import Plan

SAME = "The two plans are the same."
KEY = (
    "B - A: of B less of A; later: of times since lift-off or, of dates, of UTC; -: there is none, "
    "or the stage burns out by plan."
)


def told(comparison: Comparison, *, folders: bool = True) -> list[str]:
    """Return which plans they are, their verdicts, and what differs, by number.

    Without `folders` files are told by their names alone, for what is passed around.
    """
    pairs = (("A", comparison.a), ("B", comparison.b))
    lines = [_plan(*pair, folders=folders) for pair in pairs]
    return [*lines, SAME if comparison.same else _counted(comparison)]


def findings(comparison: Comparison, *, every: bool = False) -> list[str]:
    """Return what became of each finding, a line each; with `every` those that are the same too."""
    return [
        line
        for what in ("lost", "gained", "changed", *(["same"] if every else []))
        for pair in comparison.findings
        if pair.what == what
        for line in _finding(pair)
    ]


def _plan(name: str, plan: Plan, *, folders: bool) -> str:
    scenario = plan.scenario
    file = scenario.source if folders else scenario.source.name
    changes = f" with {'; '.join(map(str, scenario.changes))}" if scenario.changes else ""
    return f"{name}: {plan.verdict} ({scenario.mission.profile}; {file}{changes})"


def _counted(comparison: Comparison) -> str:
    """Return how many of each differ, those of which none does left out."""
    became = Counter(x.what for x in comparison.findings)
    parts = (
        (len(comparison.keys), "key", "differs", "differ"),
        (became["lost"], "finding", "of A is lost in B", "of A are lost in B"),
        (became["gained"], "finding", "is gained in B", "are gained in B"),
        (became["changed"], "finding", "is changed", "are changed"),
        (sum(x.differs for x in comparison.burns), "burn", "differs", "differ"),
        (sum(x.differs for x in comparison.moments), "event", "differs", "differ"),
    )
    said = [
        f"{number} {what}{'s' * (number > 1)} {many if number > 1 else one}"
        for number, what, one, many in parts
        if number
    ]
    return f"{', '.join(said) or 'Figures differ'}."


def _finding(pair: FindingPair) -> Iterator[str]:
    a, b = pair
    if pair.what == "changed" and a and b:
        yield f"changed: A, {a.severity}: {a.text}"
        yield f"         B, {b.severity}: {b.text}"
        return
    known = a or b
    if known:
        yield f"{pair.what}: {known.severity}: {known.text}"
