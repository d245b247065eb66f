"""What would get a crew away: a stronger motor, more push aside, a tower kept for longer.

An escape is a matter of crew safety: these are a planning study's figures.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from mplan.checks import escape as check
from mplan.checks.finding import Finding
from mplan.checks.remedies import weights
from mplan.checks.remedies.proposal import Proposal
from mplan.checks.remedies.search import first, steps
from mplan.checks.remedies.trials import Trials
from mplan.flight.record import Flight
from mplan.scenario import Scenario
from mplan.scenario.quantities import text
from mplan.scenario.wording import plain
from mplan.vehicle import escape as assembly
from mplan.vehicle import mass
from mplan.vehicle.ledger import filled
from mplan.vehicle.stack import crew_module, crew_on_pad

TIMES = steps(1.1, 0.1, 3.0)  # today's figure


def proposals(finding: Finding, flight: Flight, trials: Trials) -> Iterator[Proposal]:
    """Yield changes of the tower that end the finding, the least of each kind."""
    scenario, name = flight.scenario, finding.event
    if assembly.motor(scenario) is None:
        yield from _new_tower(flight)
        return
    if finding.limit == "one open abort mode":
        yield from _kept(flight, name)
        return
    if assembly.motor(scenario) is None:
        return  # a tower would be an element of its own, to be designed
    motor = assembly.stated_motor(scenario)
    if finding.limit.endswith("kg at most"):
        lacks = motor.propellant - mass.dry(scenario.elements[name], scenario)
        dry = lacks + (1.0 + weights.MOTOR.value) * motor.propellant
        said = f"a tower {dry / 1e3:.2f} t heavier, motor case and structure"
        heavier = weights.heavier(scenario, name, dry)
        yield Proposal(said, heavier, f"mass: {weights.MOTOR.source}")
        return
    yield from first(finding, flight, check, (_stronger(scenario, name, x) for x in TIMES))
    yield from first(finding, flight, check, (_aside(scenario, name, x) for x in TIMES))
    yield from first(finding, flight, check, (_longer(scenario, name, x) for x in TIMES))


def _new_tower(flight: Flight) -> Iterator[Proposal]:
    """Propose a tower on the crew module, in proportion to it, kept into the second stage's burn.

    The proportions are common practice without a source.
    """
    scenario = flight.scenario
    home, role = crew_module(scenario), "escape tower"
    name = role.replace(" ", "_")
    climbs = [
        i for i, x in enumerate(flight.passages) if x.burn is not None and x.burn.leg == "climb"
    ]
    if name in scenario.elements or len(climbs) < 2 or scenario.stack[-1] != home:
        return
    weighs = mass.of((home,), scenario, filled(scenario), crew_on_pad(scenario), {})
    motor = {
        "thrust": text(130.0 * weighs, "kN"),
        "burn_time": "3.2 s",
        "tail_off": "2 s",
        "propellant": text(0.24 * weighs, "kg"),
        "cant": "30 deg",
        "side_thrust": text(12.0 * weighs, "kN"),
        "warning": "3 s",
    }
    tower = {
        "role": role,
        "dry_mass": text(0.62 * weighs, "kg"),
        "length": "8 m",
        "diameter": "1.2 m",
        "escape": motor,
    }
    events = scenario.events_as_written()
    events.insert(climbs[1] + 1, {"do": "jettison", "elements": [name], "at": "35 s"})
    values = {"stack": [*scenario.stack, name], f"elements.{name}": tower, "events": events}
    said = f"an escape tower of {0.62 * weighs / 1e3:.1f} t on the {plain(home)}"
    yield Proposal(said, values, "its proportions: common practice, no source")


def _stronger(scenario: Scenario, name: str, times: float) -> Proposal:
    """Return a motor with so many times the thrust and the propellant for it."""
    motor = assembly.stated_motor(scenario)
    values = {
        f"elements.{name}.escape.thrust": text(times * motor.thrust, "kN"),
        f"elements.{name}.escape.side_thrust": text(times * motor.side_thrust, "kN"),
    }
    said = f"a motor of {times * motor.thrust / 1e3:.0f} kN"
    return _larger(scenario, name, times, said, values)


def _longer(scenario: Scenario, name: str, times: float) -> Proposal:
    """Return a motor that burns for so many times as long, with the propellant for it."""
    motor = assembly.stated_motor(scenario)
    values = {
        f"elements.{name}.escape.burn_time": f"{times * motor.burn_time} s",
    }
    said = f"a motor that burns {times * motor.burn_time:.1f} s"
    return _larger(scenario, name, times, said, values)


def _larger(
    scenario: Scenario, name: str, times: float, said: str, values: dict[str, Any]
) -> Proposal:
    """Return a motor with so many times its propellant, and the case for it."""
    propellant = assembly.stated_motor(scenario).propellant
    weight = (times - 1.0) * propellant * (1.0 + weights.MOTOR.value)
    values = {
        **values,
        f"elements.{name}.escape.propellant": text(times * propellant, "kg"),
        **weights.heavier(scenario, name, weight),
    }
    said = f"{said} on the {plain(name)}, {weight:.0f} kg heavier"
    return Proposal(said, values, f"mass: {weights.MOTOR.source}")


def _aside(scenario: Scenario, name: str, times: float) -> Proposal:
    """Return more thrust across the tower, from nozzles that share it otherwise."""
    motor = assembly.stated_motor(scenario)
    side = times * (motor.side_thrust or 0.05 * motor.thrust)
    values = {f"elements.{name}.escape.side_thrust": text(side, "kN")}
    said = f"{side / 1e3:.0f} kN of thrust aside on the {plain(name)}"
    return Proposal(said, values, "mass of the nozzles: not counted")


def _kept(flight: Flight, name: str) -> Iterator[Proposal]:
    """Propose to keep the tower for longer in the climb."""
    for index, passage in enumerate(flight.passages):
        event = passage.event
        if event.do == "jettison" and name in event.elements and event.at is not None:
            for later in (30.0, 90.0, 180.0):
                tables = flight.scenario.events_as_written()
                tables[index]["at"] = f"{event.at + later} s"
                yield Proposal(f"the {plain(name)} kept {later:.0f} s longer", {"events": tables})
