"""What would settle propellant before a start: thrusters, their number, and what they burn."""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.finding import Finding
from mplan.checks.remedies import weights
from mplan.checks.remedies.kinds.delta_v import for_thrusters
from mplan.checks.remedies.proposal import Proposal
from mplan.checks.remedies.search import rounded_up
from mplan.checks.remedies.trials import Trials
from mplan.flight.record import BurnRecord, Flight
from mplan.flight.settling import Settling
from mplan.physics.constants import G0
from mplan.scenario import Scenario
from mplan.scenario.wording import plain

PUSH = 0.003  # m/s2, that new thrusters give the craft (common practice, no source)
LASTS = 30.0  # s, that they push before a start (common practice, no source)
TIMES = (2, 4, 8)  # the push of today


def proposals(finding: Finding, flight: Flight, trials: Trials) -> Iterator[Proposal]:
    """Yield changes after which the propellant is settled."""
    burn = next(x for x in flight.burns if x.name == finding.event)
    done = burn.settling
    if done is None:
        return
    if not done.element:
        yield from _somebody(flight, burn)
    elif done.lacks > 0.0:
        yield from _more_to_burn(flight.scenario, done)
        yield from _less_time(flight.scenario, burn, done)
    else:
        yield from _stronger(flight.scenario, burn, done)


def _somebody(flight: Flight, burn: BurnRecord) -> Iterator[Proposal]:
    """Propose thrusters that are joined to it, and thrusters of its own."""
    scenario, path = flight.scenario, f"elements.{burn.element}.engines"
    for name in burn.craft:
        for key, engine in scenario.elements[name].engines.items():
            if engine.purpose != "main":
                said = f"settled by the {plain(key)} of the {plain(name)}"
                yield Proposal(said, {f"{path}.{burn.engine}.settled_by": f"{name}.{key}"})
    if "settling_motors" not in scenario.elements[burn.element].engines:
        yield _own_motors(flight, burn)


def _own_motors(flight: Flight, burn: BurnRecord) -> Proposal:
    """Return settling motors that burn hydrazine of their own, enough for every start."""
    path = f"elements.{burn.element}"
    lit = sum(
        x.starts for x in flight.burns if (x.element, x.engine) == (burn.element, burn.engine)
    )
    thrust = rounded_up(PUSH * burn.mass / 4.0, 10.0)
    load = rounded_up(4.0 * thrust * LASTS * lit / (220.0 * G0), 1.0)
    motors = {
        "purpose": "settling",
        "count": 4,
        "thrust_vacuum": f"{thrust} N",
        "isp_vacuum": "220 s",
        "starts": 100,
        "qualified_duration": "1000 s",
        "fuel": "settling_fuel",
    }
    weight = 4.0 * thrust * weights.THRUSTERS.value + 0.1 * load
    values = {
        f"{path}.tanks.settling_fuel": {"propellant": "hydrazine", "load": f"{load} kg"},
        f"{path}.engines.settling_motors": motors,
        f"{path}.engines.{burn.engine}.settled_by": None,
    }
    said = f"4 settling motors of {thrust:.0f} N on the {plain(burn.element)}, {weight:.0f} kg"
    said += f" with their tank, and {load:.0f} kg of hydrazine"
    heavier = weights.heavier(flight.scenario, burn.element, weight)
    return Proposal(said, {**values, **heavier}, f"mass: {weights.THRUSTERS.source}")


def _more_to_burn(scenario: Scenario, done: Settling) -> Iterator[Proposal]:
    """Propose as much more in the thrusters' tanks as lacks; what is too little twice over."""
    element = scenario.elements[done.element]
    engine = element.engines[done.engine]
    owner = engine.crossfeed or done.element
    for times in (1.1, 2.0):
        kilograms = rounded_up(done.lacks * times, 1.0)
        yield for_thrusters(scenario, owner, engine, kilograms)


def _less_time(scenario: Scenario, burn: BurnRecord, done: Settling) -> Iterator[Proposal]:
    """Propose half the thrusters, where more of them push than are needed."""
    key = f"elements.{done.element}.engines.{done.engine}.settling_count"
    engine = scenario.elements[done.element].engines[done.engine]
    count = (engine.settling_count or engine.count) // 2
    if count:
        yield Proposal(f"settled by {count} of the thrusters", {key: count})


def _stronger(scenario: Scenario, burn: BurnRecord, done: Settling) -> Iterator[Proposal]:
    """Propose more of the thrusters pushing, then stronger ones."""
    engine = scenario.elements[done.element].engines[done.engine]
    path = f"elements.{done.element}.engines.{done.engine}"
    if engine.settling_count is not None and engine.settling_count < engine.count:
        said = f"settled by all {engine.count} thrusters of the {plain(done.element)}"
        yield Proposal(said, {f"{path}.settling_count": engine.count})
    for times in TIMES:
        force = times * engine.thrust_vacuum
        more = (times - 1) * engine.thrust_vacuum * engine.count * weights.THRUSTERS.value
        said = f"thrusters of {force:.0f} N on the {plain(done.element)}, {more:.0f} kg heavier"
        values = {f"{path}.thrust_vacuum": f"{force} N"}
        heavier = weights.heavier(scenario, done.element, more)
        yield Proposal(said, {**values, **heavier}, f"mass: {weights.THRUSTERS.source}")
