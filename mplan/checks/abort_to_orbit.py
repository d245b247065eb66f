"""On to orbit from a failing climb: with the stages above the one that fails, or the ship alone.

An estimate on the safe side: level flight to orbital speed, height held by the thrust.
"""

from __future__ import annotations

from math import sqrt

import numpy as np

from mplan.checks.climb_moment import Moment, Way
from mplan.physics import twobody
from mplan.physics.burns import level_gain
from mplan.physics.constants import MU_EARTH, R_EARTH
from mplan.physics.rocket import delta_v
from mplan.scenario import Scenario
from mplan.scenario.wording import plain
from mplan.vehicle import ledger, mass
from mplan.vehicle.ledger import Ledger, main_engine, thrust
from mplan.vehicle.stack import cargo, crew_on_pad, with_role

ALONE = "orbit, with the ship alone"
AIR_ENDS = 90e3  # m, below which no orbit is held while an engine accelerates (no source)


def ways(moment: Moment) -> tuple[Way, ...]:
    """Return the ways on to orbit: with the stages above the one that fails, or the ship alone."""
    parts = moment.flight.end.climb.parts
    failing = int(moment.track.stage[moment.index])
    above = [part.name for part in parts[failing + 1 :]]
    home = with_role(moment.scenario, "crew module")
    service = with_role(moment.scenario, "service module")
    ways = []
    if above:
        dropped = {part.name for part in parts[: failing + 1]}
        stack = tuple(name for name in moment.stack if name not in dropped)
        ways.append(_on(moment, f"orbit, with the {plain(above[0])}", stack, above))
    if service is not None and main_engine(moment.scenario.elements[service]):
        ways.append(_on(moment, ALONE, (service, home), [service]))
    return tuple(ways)


def _on(moment: Moment, name: str, stack: tuple[str, ...], burning: list[str]) -> Way:
    """Return whether `stack` reaches the safe orbit with the engines of `burning`, in turn."""
    scenario, tanks = moment.scenario, ledger.filled(moment.scenario)
    if moment.track.altitude[moment.index] < AIR_ENDS:
        return Way(name, f"it is below {AIR_ENDS / 1e3:.0f} km still")
    _, engine = main_engine(scenario.elements[burning[0]])
    weighs = mass.of(stack, scenario, tanks, crew_on_pad(scenario), _cargo(scenario, stack))
    try:
        needed = _needed(moment, thrust(engine) / weighs)
    except ArithmeticError:
        return Way(name, "its thrust does not hold the height while it gains speed")
    held = _held(scenario, tanks, stack, burning)
    figure = f"needs {needed:,.0f} of {held:,.0f} m/s"
    return Way(name, "" if needed <= held else f"it {figure}", figure, held - needed)


def _cargo(scenario: Scenario, stack: tuple[str, ...]) -> dict[str, float]:
    return {name: kg for name, kg in cargo(scenario).items() if name in stack}


def _held(scenario: Scenario, tanks: Ledger, stack: tuple[str, ...], burning: list[str]) -> float:
    """Return the delta-v [m/s] of stages that burn out one after the other, each then dropped."""
    crew, whole = crew_on_pad(scenario), 0.0
    for name in burning:
        _, engine = main_engine(scenario.elements[name])
        weighs = mass.of(stack, scenario, tanks, crew, _cargo(scenario, stack))
        whole += delta_v(engine.isp_vacuum, weighs, weighs - tanks.usable(name, engine))
        stack = tuple(each for each in stack if each != name)
    return whole


def _needed(moment: Moment, acceleration: float) -> float:
    """Return what a safe orbit takes [m/s]: level flight to its speed, the climb rate taken out.

    Where the orbit must be raised first, a Hohmann transfer is added. ArithmeticError where the
    thrust does not carry the weight. On the safe side: the thrust acceleration of the beginning
    is kept, and a climb rate that could be of use is paid for.
    """
    r, v = moment.track.r[moment.index], moment.track.v[moment.index]
    radius = float(np.linalg.norm(r))
    climbing = float(r @ v) / radius
    level = sqrt(max(0.0, float(v @ v) - climbing**2))
    round_ = twobody.circular_speed(radius, MU_EARTH)
    gaining = level_gain.velocity(level, round_, acceleration, radius, MU_EARTH)
    safe = R_EARTH + moment.scenario.aborts.safe_orbit
    rise = twobody.hohmann(radius, safe, MU_EARTH).total if radius < safe else 0.0
    return max(0.0, gaining) + abs(climbing) + rise
