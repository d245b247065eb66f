"""What a check says: the limit, what was found, what the limit rests on, and what would help."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from mplan.scenario import Scenario
from mplan.scenario.figures import Figures
from mplan.scenario.severity import SEVERITIES, WAYS_OUT, Severity
from mplan.scenario.wording import choices, plain

__all__ = ["Finding", "Remedy", "Severity", "as_set", "of_ship", "own", "stated", "unmatched"]


@dataclass(frozen=True)
class Remedy:
    """A change that was flown: what it is, whether the plan then closes, and what it costs.

    `lift_off` is by how much more lifts off [kg], of all launches; None where that does not arise.
    """

    change: str
    closes: bool
    outcome: str
    lift_off: float | None = None


@dataclass(frozen=True)
class Finding:
    """One answer of a check; its `figures` are the limit and what was found, with their units."""

    severity: Severity
    check: str
    event: str  # or the element, or "the stack"
    text: str  # one sentence
    figures: Figures
    basis: str  # what the limit rests on: a key of the scenario, physics, a report, practice
    subject: tuple[str, ...] = ()  # what remedies act on: an element, and an engine
    remedies: tuple[Remedy, ...] = ()
    unsolved: str = ""  # why nothing that was tried closes the plan; "" if something does
    cause: str = ""  # the text of the finding that this one follows from; "" for a cause
    together: str = ""  # after a count, what findings of its kind say in one line
    item: str = ""  # how it is told there; default: the event and what was found
    where: str = ""  # file:line of the scenario that it speaks of; "" where it speaks of a flight
    judged: Severity | None = None  # by the check itself, where the scenario sets another
    ship: str = ""  # launched on its own, that it is about

    @property
    def rank(self) -> int:
        """0 for what stops the flight, 1 for a decision, 2 for information."""
        return SEVERITIES.index(self.severity)

    @property
    def limit(self) -> str:
        """What would be accepted, as people read it."""
        return self.figures.limit

    @property
    def found(self) -> str:
        """What was found, as people read it."""
        return self.figures.found


def of_ship(finding: Finding, name: str) -> Finding:
    """Return a finding on a ship launched on its own, under the ship's name."""
    called = plain(name)
    return replace(
        finding,
        ship=name,
        text=f"{called}: {finding.text}",
        item=f"{called}: {finding.item or f'{finding.event}, {finding.found}'}",
        cause=f"{called}: {finding.cause}" if finding.cause else "",
    )


def own(finding: Finding) -> Finding:
    """Return a finding on a ship as its own flight tells it, without the ship's name."""
    called = f"{plain(finding.ship)}: "
    return replace(finding, ship="", text=finding.text.removeprefix(called))


def as_set(finding: Finding, scenario: Scenario) -> Finding:
    """Return a finding with the severity that the scenario sets for it, and where that is from."""
    wanted = stated(scenario, finding.check, (finding.event, *finding.subject))
    if wanted is None or wanted == finding.severity:
        return finding
    lower = SEVERITIES.index(wanted) > finding.rank
    said = f"{'lowered' if lower else 'raised'} by the scenario: [severity] sets"
    said = f'{finding.basis}; {said} "{wanted}" instead of "{finding.severity}"'
    return replace(finding, severity=wanted, basis=said, judged=finding.severity)


def unmatched(found: Sequence[Finding], scenario: Scenario) -> Iterator[Finding]:
    """Yield the names in [severity] that no finding goes by, but for elements and events.

    An element or an event may well have none; any other name is likely misspelt, and what it was
    to accept stays open. Ways out are left aside: a flight alone does not tell of them.
    """
    names = {*scenario.elements, *(each.title for each in scenario.events)}
    for check, judged in scenario.severity.items():
        if check == WAYS_OUT:
            continue
        known = {x for each in found if each.check == check for x in (each.event, *each.subject)}
        for name in set(judged if isinstance(judged, dict) else ()) - names - known:
            yield Finding(
                severity="for information",
                check=check,
                event=name,
                text=f'[severity] names "{name}" for {check}, and no finding is about it',
                figures=Figures(choices(sorted(known)) or "no finding", f'"{name}"'),
                basis=f"severity.{check}",
                where=scenario.where(("severity", check, name)),
            )


def stated(scenario: Scenario, check: str, names: Sequence[str]) -> Severity | None:
    """Return the severity that a scenario sets for a check's findings about any of `names`.

    None where it sets none: then the check's own holds.
    """
    found = scenario.severity.get(check)  # type: ignore[call-overload]
    if not isinstance(found, dict):
        return found
    return next((found[name] for name in names if name in found), None)
