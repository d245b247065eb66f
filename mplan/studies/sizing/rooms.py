"""What a flight has left up to each of its limits, as one list of named numbers.

Margins of burns, the figures of `checks.limits`, site, thrust, landing, climb and thrusters tell
how much is left on either side of a limit. A limit that has no figure of its own is told once a
check finds it passed: by the numbers of the finding, or as passed without saying how far.
What the scenario's `[severity]` lowers does not count, and what it raises does.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from mplan.checks import climb as climb_check
from mplan.checks import limits, thrust, thrusters
from mplan.checks.finding import Finding, Severity, stated
from mplan.checks.limits import LimitRow
from mplan.flight.record import Flight
from mplan.plan import Plan
from mplan.scenario.figures import decimals
from mplan.scenario.severity import SEVERITIES
from mplan.scenario.wording import plain
from mplan.studies.sensitivities import differences
from mplan.vehicle import pad

VELOCITY = 100.0  # m/s of margin that count as a whole limit's worth
FARTHEST = 1.0  # of its limit, that a finding without numbers is beyond it
SHORT_OF_ORBIT = 10.0  # more, for a flight that ends before the rest could be judged
_STOPS, _ASKS = SEVERITIES[:2]
# The check that judges each kind of limit, and how gravely.
_JUDGED: dict[str, tuple[str, Severity]] = {
    "starts": ("starts", _STOPS),
    "burn time": ("qualified duration", _STOPS),
    "longest burn": ("longest burn", _STOPS),
    "restart interval": ("restart", _STOPS),
    "docking cycles": ("docking cycles", _STOPS),
    "mission": ("duration", _STOPS),
    "supply": ("supplies", _STOPS),
    "storage for waste": ("supplies", _ASKS),
    "energy": ("power", _STOPS),
    "control authority": ("control", _STOPS),
}


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
        """What is left, in words: `-3 m/s`."""
        if not self.numbered:
            return "beyond its limit"
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
    scenario = plan.scenario
    passed = {x.check for x in plan.findings if x.rank <= gravest}
    for room, severity, names in _figures(plan.flight):
        judged = SEVERITIES.index(stated(scenario, room.check, names) or severity)
        if judged <= gravest and (room.left >= 0.0 or room.check in passed):
            yield room


_Figure = tuple[Room, Severity, tuple[str, ...]]


def _figures(flight: Flight) -> Iterator[_Figure]:
    yield from _burns(flight)
    yield from _limits(flight)
    yield from _site(flight)
    yield from _lift_off(flight)
    yield from _climb(flight)
    yield from _landing(flight)
    yield from _thrusters(flight)


def _burns(flight: Flight) -> Iterator[_Figure]:
    for name, burn in differences.named(flight).items():
        names = burn.name, burn.element, burn.engine
        if not burn.burns_out:
            yield (
                Room(f"margin after {name}", burn.margin, "m/s", VELOCITY, "delta-v"),
                _STOPS,
                names,
            )


def _limits(flight: Flight) -> Iterator[_Figure]:
    for row in limits.of(flight):
        if row.kind in _JUDGED and row.left is not None and row.limit:
            check, severity = _JUDGED[row.kind]
            scale = _whole(row)
            name = f"{row.kind}, {row.name}"
            yield Room(name, row.left, row.unit, scale, check, row.digits), severity, ()


def _whole(row: LimitRow) -> float:
    """Return the limit itself; of what is required, where that is the figure that is held to it."""
    return max(abs(row.limit or 0.0), abs(row.used or 0.0))


def _site(flight: Flight) -> Iterator[_Figure]:
    scenarios = (*flight.scenario.views.items(), ("", flight.scenario))
    for ship, scenario in scenarios:
        for each in pad.limits(scenario):
            if each.limit is not None and each.found is not None:
                name = f"{plain(ship)}: {each.name}" if ship else each.name
                left, scale = -each.over * each.scale, each.limit * each.scale
                yield Room(name, left, each.unit, scale, "pad"), _STOPS, ("on the pad", each.key)


def _lift_off(flight: Flight) -> Iterator[_Figure]:
    for ship, each, _ in flight.ships:
        first = next((x for x in each.burns if x.leg == "climb"), None)
        if first is None:
            continue
        said = f"{plain(ship)}: thrust-to-weight" if ship else "thrust-to-weight"
        kinds: tuple[tuple[str, float, Severity], ...] = (
            ("to leave the pad", 1.0, _STOPS),
            ("for a brisk lift-off", thrust.BRISK, _ASKS),
        )
        for what, least, severity in kinds:
            room = Room(f"{said} {what}", first.thrust_to_weight - least, "", least, "thrust", 3)
            yield room, severity, ("lift-off", first.element, first.engine)


def _climb(flight: Flight) -> Iterator[_Figure]:
    if flight.climb is None:
        return
    stated = flight.scenario.climb
    acceleration = stated.acceleration_limit
    most = climb_check.BRISK if acceleration is None else climb_check.SLACK * acceleration
    left = most - flight.climb.most_acceleration.value
    name = "acceleration"
    yield Room(f"{name} of the climb", left, "m/s2", most, "climb"), _ASKS, (name,)
    if stated.pressure_limit is not None:
        most, name = climb_check.SLACK * stated.pressure_limit / 1e3, "dynamic pressure"
        left = most - flight.climb.most_dynamic_pressure.value / 1e3
        yield Room(f"{name} of the climb", left, "kPa", most, "climb"), _ASKS, (name,)


def _landing(flight: Flight) -> Iterator[_Figure]:
    descent = flight.end.descent
    if descent is not None and not flight.ended:
        least = flight.scenario.descent.reserve_time
        left = descent.seconds_left - least
        yield Room("hover at touchdown", left, "s", max(least, 1.0), "landing"), _STOPS, ()


def _thrusters(flight: Flight) -> Iterator[_Figure]:
    for each in thrusters.accounts(flight) if not flight.ended else ():
        load = max(1.0, each.left + sum(x.drawn for x in each.entries))
        name = f"propellant of thrusters, {plain(each.element)}"
        yield Room(name, each.spare, "kg", load, "thrusters"), _STOPS, (each.element,)


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
