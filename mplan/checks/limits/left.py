"""What a flight leaves up to each of its limits: one list, for all who ask how near they are.

Figures of `limits.rows` that have a limit, launch site, lift-off, climb, landing, entry and
thrusters, each as the check that judges it has it. Margins of burns are told with the burns.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Container, Iterator
from typing import NamedTuple

from mplan.checks import climb, thrust
from mplan.checks.limits import docking, engines, provisions, steering
from mplan.checks.limits.row import LimitRow
from mplan.checks.thrusters import accounts
from mplan.flight.record import Flight
from mplan.scenario.severity import SEVERITIES, CheckName, Severity
from mplan.scenario.wording import plain
from mplan.vehicle import pad

LAUNCH_SITE, THRUSTERS = "launch site", "thruster propellant to spare"
STOPS, ASKS = SEVERITIES[:2]
# The check that judges each kind of row, and how gravely.
JUDGED: dict[str, tuple[CheckName, Severity]] = {
    "starts": ("starts", STOPS),
    "burn time": ("qualified duration", STOPS),
    "longest burn": ("longest burn", STOPS),
    "restart interval": ("restart", STOPS),
    "docking cycles": ("docking cycles", STOPS),
    "mission": ("duration", STOPS),
    "supply": ("supplies", STOPS),
    "storage for waste": ("supplies", ASKS),
    "energy": ("power", STOPS),
    "control authority": ("control", STOPS),
}


class Left(NamedTuple):
    """What is `left` up to a limit, in `unit`, negative beyond it; `worth` is its whole worth.

    That is the limit itself or, where what is required is held to it, the greater of both. `check`
    judges it, by itself with `severity`; by `names`, of an event, an element, a scenario may set
    another.
    """

    name: str
    left: float
    unit: str
    worth: float
    check: CheckName
    severity: Severity = STOPS
    names: tuple[str, ...] = ()
    digits: int = 1  # decimals that it is good for
    kind: str = ""  # of a row of `limits.rows`


def of(flight: Flight, *, without: Container[CheckName] = ()) -> tuple[Left, ...]:
    """Return what is left up to every limit, as far as the flight has come.

    But for those of checks that it is to be `without`: "control" takes longer to work out than all
    else together.
    """
    found = _rows(flight, control="control" not in without)
    if "pad" not in without:
        found += _site(flight)
    found += (*_lift_off(flight), *_climb(flight))
    if not flight.ended:
        found += (*_landing(flight), *_entry(flight), *_thrusters(flight))
    return tuple(_told_apart([x for x in found if x.check not in without]))


def named(row: LimitRow) -> str:
    """Return what a row is called here, if it is the first of its name."""
    return f"{row.kind}, {row.name}"


def _told_apart(found: list[Left]) -> Iterator[Left]:
    """Yield each by a name of its own: a second phase of a name is told as `name (2)`."""
    times: Counter[str] = Counter()
    for each in found:
        times[each.name] += 1
        count = times[each.name]
        yield each if count == 1 else each._replace(name=f"{each.name} ({count})")


def _rows(flight: Flight, *, control: bool) -> list[Left]:
    rows = [*engines.rows(flight), *docking.rows(flight), *provisions.rows(flight)]
    found = []
    for row in (*rows, *(steering.rows(flight) if control else ())):
        left = row.left
        if left is not None:
            check, severity = JUDGED[row.kind]
            worth = max(abs(row.limit or 0.0), abs(row.used or 0.0)) or 1.0
            said = named(row), left, row.unit, worth, check, severity
            found.append(Left(*said, digits=row.digits, kind=row.kind))
    return found


def _site(flight: Flight) -> Iterator[Left]:
    for ship, scenario in (*flight.scenario.views.items(), ("", flight.scenario)):
        for each in pad.limits(scenario):
            if each.found is not None and each.limit is not None:
                name = f"{_of(ship)}{LAUNCH_SITE}, {each.name}"
                left, worth = -each.over * each.scale, each.limit * each.scale
                yield Left(name, left, each.unit, worth, "pad", names=("on the pad", each.key))


def _of(ship: str) -> str:
    return f"{plain(ship)}: " if ship else ""


def _lift_off(flight: Flight) -> Iterator[Left]:
    for ship, each, _ in flight.ships:
        first = next((x for x in each.burns if x.leg == "climb"), None)
        if first is None:
            continue
        names = "lift-off", first.element, first.engine
        for what, least, severity in (
            ("to leave the pad", 1.0, STOPS),
            ("for a brisk lift-off", thrust.BRISK, ASKS),
        ):
            left, name = first.thrust_to_weight - least, f"{_of(ship)}thrust-to-weight {what}"
            yield Left(name, left, "", least, "thrust", severity, names, digits=3)


def _climb(flight: Flight) -> Iterator[Left]:
    """Yield what the climb has left, with the slack that its check gives what is stated."""
    if flight.climb is None:
        return
    stated = flight.scenario.climb
    most = climb.BRISK
    if stated.acceleration_limit is not None:
        most = climb.SLACK * stated.acceleration_limit
    left, name = most - flight.climb.most_acceleration.value, "acceleration"
    yield Left(f"climb, {name}", left, "m/s2", most, "climb", ASKS, (name,))
    if stated.pressure_limit is not None:
        most, name = climb.SLACK * stated.pressure_limit / 1e3, "dynamic pressure"
        left = most - flight.climb.most_dynamic_pressure.value / 1e3
        yield Left(f"climb, {name}", left, "kPa", most, "climb", ASKS, (name,))


def _landing(flight: Flight) -> Iterator[Left]:
    flown, burn = flight.end.descent, flight.burn_of("powered descent")
    if flown is None or burn is None:
        return
    stated, names = flight.scenario.descent, ("landing", burn.element, burn.engine)
    left, worth = flown.seconds_left - stated.reserve_time, max(stated.reserve_time, 1.0)
    yield Left("landing, hover left beyond the reserve", left, "s", worth, "landing", names=names)
    most = stated.touchdown_limit
    left = most - flown.speed
    yield Left("landing, speed at touchdown", left, "m/s", most, "landing", names=names)


def _entry(flight: Flight) -> Iterator[Left]:
    flown = flight.end.entry
    if flown is None:
        return
    shell, heat, names = flown.aeroshell, flown.heat, ("entry", flown.element)
    flux, load = shell.rated_heating / 1e6, shell.rated_heat_load / 1e6  # MW/m2, MJ/m2
    for what, found, most, unit in (
        ("load on the crew", flown.peak_load, shell.acceleration_limit, "g"),
        ("heat flux at its upper end", heat.upper_peak / 1e6, flux, "MW/m2"),
        ("heat load at its upper end", heat.upper_load / 1e6, load, "MJ/m2"),
    ):
        left = most - found
        yield Left(f"entry, {what}", left, unit, most, "entry", names=names, digits=2)
    if flown.descent is not None:
        most, names = flown.parachutes.touchdown_limit, ("splash", flown.element)
        left = most - flown.descent.touchdown
        yield Left("entry, speed at touchdown", left, "m/s", most, "entry", names=names)


def _thrusters(flight: Flight) -> Iterator[Left]:
    for each in accounts(flight):
        load = max(1.0, each.left + sum(x.drawn for x in each.entries))
        names = each.element, each.engine
        name = f"{THRUSTERS}, {plain(each.element)}"
        yield Left(name, each.spare, "kg", load, "thrusters", names=names)
