"""A scenario flown and judged: what happens, and whether it closes."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

from mplan import checks
from mplan.checks import burns
from mplan.checks.finding import Finding
from mplan.checks.remedies import for_findings
from mplan.flight import walk
from mplan.flight.record import BurnRecord, Flight, Moment
from mplan.flight.unflyable import Unflyable
from mplan.physics.constants import DAY
from mplan.scenario import Scenario
from mplan.scenario.severity import WAYS_OUT


@dataclass(frozen=True)
class Plan:
    """A mission flown on paper, with what its checks found."""

    flight: Flight
    findings: tuple[Finding, ...]

    @property
    def scenario(self) -> Scenario:
        """What was flown."""
        return self.flight.scenario

    @property
    def burns(self) -> tuple[BurnRecord, ...]:
        """Burns in flight order."""
        return self.flight.burns

    @property
    def timeline(self) -> tuple[Moment, ...]:
        """What happens, in order of time."""
        return self.flight.timeline

    @property
    def every_burn(self) -> tuple[BurnRecord, ...]:
        """Burns of all ships of the mission, each in its own flight order."""
        return self.flight.every_burn

    @property
    def every_moment(self) -> tuple[Moment, ...]:
        """What happens to all ships of the mission, in order of time."""
        return self.flight.every_moment

    @property
    def complete(self) -> bool:
        """Whether the mission was flown to its splash; `flight.ended` tells why not."""
        return self.flight.ended is None

    @property
    def closes(self) -> bool:
        """Whether the mission is flown to its splash and nothing stops it."""
        return self.complete and not any(finding.rank == 0 for finding in self.findings)

    @property
    def decisions_open(self) -> int:
        """How many findings ask a decision that the scenario has not made."""
        return sum(finding.rank == 1 for finding in self.findings)

    @property
    def stops_lowered(self) -> int:
        """How many findings would stop the flight and are lowered by the scenario."""
        return sum(x.judged == "stops the flight" and x.rank > 0 for x in self.findings)

    @property
    def tightest(self) -> BurnRecord | None:
        """The burn with the least margin among those an engine ends on; None if none was flown."""
        return burns.tightest(self.flight)

    @property
    def _where(self) -> str:
        """Where the mission ends, in words."""
        if self.flight.splash is not None:
            return "home"
        if self.flight.end.landed:
            return "on the Moon"
        return "in lunar orbit" if self.flight.end.moon else "in Earth orbit"

    @property
    def verdict(self) -> str:
        """Whether the plan closes, what it leaves to decide, and by what, in one line."""
        name, days = self.scenario.mission.name, self.flight.duration / DAY
        if self.closes:
            tight = self.tightest
            margin = f", tightest margin {tight.margin:.0f} m/s after {tight.name}" if tight else ""
            return f"{name} closes{_open(self)}: {self._where} after {days:.1f} d{margin}"
        stops = [finding.text for finding in self.findings if finding.rank == 0]
        if self.flight.ended and not stops:
            stops = [self.flight.ended.text]
        more = f" (and {len(stops) - 1} more)" if len(stops) > 1 else ""
        return f"{name} does not close: {stops[0]}{more}"


def with_ways_out(plan: Plan, gaps: Iterable[Finding]) -> Plan:
    """Return a plan with these findings on its ways out, and no others, among its own.

    `mplan.fly` looks at no way out: they are flown by a glance, or by a coverage of the mission.
    """
    kept = [x for x in plan.findings if x.check != WAYS_OUT]
    whole = sorted([*kept, *gaps], key=lambda x: (x.rank, bool(x.cause)))
    return replace(plan, findings=tuple(whole))


def _open(plan: Plan) -> str:
    """Return what the scenario has lowered, and what it leaves to decide."""
    told = (
        (plan.stops_lowered, "stop", "lowered by the scenario"),
        (plan.decisions_open, "decision", "open"),
    )
    return "".join(f", {n} {what}{'s' * (n > 1)} {how}" for n, what, how in told if n)


def fly(
    scenario: Scenario,
    *,
    remedies: bool = False,
    like: Plan | None = None,
    done: Callable[[int, int], None] = lambda done, total: None,
    stopped: Callable[[], bool] = lambda: False,
) -> Plan:
    """Fly a scenario and check it.

    With `remedies`, what stops the flight or asks a decision comes with changes that were flown
    again: up to some half a minute of flights. `done` is told how many of at most how many are
    made, `stopped` is asked before each whether to leave the rest.

    The climb is steered for most propellant left, or as that of a plan it is `like`: quicker, and
    a little less good where the vehicle differs.

    Raises ScenarioError, as `load` does, where no trajectory exists for what it asks or where
    its events cannot follow one another.
    """
    return judged(flown(scenario, like), remedies=remedies, done=done, stopped=stopped)


def flown(scenario: Scenario, like: Plan | None = None) -> Flight:
    """Fly a scenario as `fly` does, and judge nothing yet."""
    try:
        return walk.fly_like(scenario, like.flight if like else None)
    except Unflyable as problem:
        raise scenario.refused(problem.path, str(problem)) from problem


def judged(
    flight: Flight,
    *,
    remedies: bool = False,
    done: Callable[[int, int], None] = lambda done, total: None,
    stopped: Callable[[], bool] = lambda: False,
) -> Plan:
    """Check a flight as `fly` does."""
    found = checks.of(flight)
    if remedies:
        found = for_findings(flight, found, done=done, stopped=stopped)
    return Plan(flight, found)
