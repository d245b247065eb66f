"""What a flight has left up to each of its limits, as one list of named numbers.

Margins of burns and what `checks.limits.left` lists tell it on either side of a limit. A limit
that has no figure of its own is told once a check finds it passed: by the numbers of the finding,
or as passed without saying how far. What the scenario's `[severity]` lowers does not count, and
what it raises does.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from mplan.checks import limits
from mplan.checks.finding import Finding, stated
from mplan.checks.limits import Left
from mplan.flight.record import Flight
from mplan.plan import Plan
from mplan.scenario.figures import decimals
from mplan.scenario.severity import SEVERITIES
from mplan.scenario.wording import plain
from mplan.studies.sensitivities import differences

VELOCITY = 100.0  # m/s of margin that count as a whole limit's worth
FARTHEST = 1.0  # of its limit, that a finding without numbers is beyond it
SHORT_OF_ORBIT = 10.0  # more, for a flight that ends before the rest could be judged


@dataclass(frozen=True)
class Room:
    """What is left up to one limit, in `unit`; negative beyond it. `scale` is its whole worth.

    `numbered` is false where a finding does not say how far it is beyond; what moves it then is
    told by longer steps alone: it is `rough`.
    """

    name: str
    left: float
    unit: str
    scale: float
    check: str
    digits: int = 1
    numbered: bool = True
    rough: bool = False
    text: str = ""  # of the finding that it is read off

    @property
    def share(self) -> float:
        """What is left, as a share of the limit's whole worth."""
        return self.left / self.scale

    @property
    def said(self) -> str:
        """What is left, in words: `-3 m/s`; beyond the limit never as a zero."""
        if not self.numbered:
            return "beyond its limit"
        if self.left < 0.0 and not round(self.left, self.digits):
            return f"{self.left:.1g} {self.unit}".strip()
        return f"{round(self.left, self.digits) + 0.0:,.{self.digits}f} {self.unit}".strip()


def of(plan: Plan, gravest: int = 1) -> dict[str, Room]:
    """Return what is left up to every limit whose passing has a rank up to `gravest`, by name.

    0 counts what stops the flight, 1 what asks a decision too.
    """
    found = {each.name: each for each in _in_force(plan, gravest)}
    told = {each.check for each in found.values() if each.left < 0.0}
    for finding in plan.findings:
        if finding.rank <= gravest and finding.check not in told:
            room = _of_finding(finding)
            found[room.name] = room
    if plan.flight.ended:
        ended = f"climb to orbit: {plan.flight.ended.event}"
        found[ended] = Room(
            *(ended, -SHORT_OF_ORBIT, "", 1.0, "climb"),
            numbered=False,
            text=plan.flight.ended.text,
        )
    return found


def _in_force(plan: Plan, gravest: int) -> Iterator[Room]:
    """Yield the figures that count; one beyond its limit without a finding does not."""
    passed = {x.check for x in plan.findings if x.rank <= gravest}
    for each in (*_margins(plan.flight), *limits.left.of(plan.flight)):
        severity = stated(plan.scenario, each.check, each.names) or each.severity
        counts = SEVERITIES.index(severity) <= gravest
        if counts and (each.left >= 0.0 or each.check in passed):
            yield Room(each.name, each.left, each.unit, each.worth, each.check, each.digits)


def _margins(flight: Flight) -> Iterator[Left]:
    for name, burn in differences.named(flight).items():
        if not burn.burns_out:
            names = burn.name, burn.element, burn.engine
            said = f"margin after {name}"
            yield Left(said, burn.margin, "m/s", VELOCITY, "delta-v", names=names)


def _of_finding(finding: Finding) -> Room:
    """Return a limit that a check finds passed, by the numbers of the finding, if it has any."""
    where = f"{plain(finding.ship)}: " if finding.ship else ""
    name = f"{where}{finding.check}, {plain(finding.event)}"
    if finding.subject and finding.event not in finding.subject:
        name += f" ({' '.join(map(plain, finding.subject))})"
    measure = finding.figures.measure
    if measure is None or measure.left >= 0.0:
        nothing = Room(name, -FARTHEST, "", 1.0, finding.check, numbered=False, rough=True)
        return replace(nothing, text=finding.text)
    scale = max(abs(measure.limit), abs(measure.found))
    digits = decimals(measure.limit, measure.found, measure.digits)
    room = Room(name, measure.left, measure.unit, scale, finding.check, digits)
    return replace(room, text=finding.text)
