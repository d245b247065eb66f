"""On to orbit from a failing climb: with the stages above the one that fails, or the ship alone.

An estimate on the safe side: level flight to orbital speed, height held by the thrust.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import sqrt

import numpy as np

from mplan.contingencies.climb_point import AbortMode, ClimbPoint
from mplan.flight.state import Craft, State
from mplan.physics import twobody
from mplan.physics.burns import level_gain
from mplan.physics.climb.track import ClimbTrack
from mplan.physics.constants import MU_EARTH, R_EARTH
from mplan.physics.rocket import delta_v
from mplan.scenario.wording import plain
from mplan.vehicle.ledger import main_engine, thrust
from mplan.vehicle.stack import crew_module, with_role

ALONE = "orbit, with the ship alone"
AIR_ENDS = 90e3  # m, below which no orbit is held while an engine accelerates (no source)


def orbit_modes(point: ClimbPoint) -> Iterator[AbortMode]:
    """Yield the modes on to orbit: with the stages above the failing one, or the ship alone."""
    parts = point.flight.end.climb.parts
    failing = int(point.track.stage[point.index])
    above = [part.name for part in parts[failing + 1 :]]
    home = crew_module(point.scenario)
    service = with_role(point.scenario, "service module")
    if above:
        dropped = {part.name for part in parts[: failing + 1]}
        stack = tuple(name for name in point.stack if name not in dropped)
        yield _on(point, f"orbit, with the {plain(above[0])}", stack, above)
    if service is not None and main_engine(point.scenario.elements[service]):
        yield _on(point, ALONE, (service, home), [service])


def _on(point: ClimbPoint, name: str, stack: Craft, burning: list[str]) -> AbortMode:
    """Return whether `stack` reaches the safe orbit with the engines of `burning`, in turn."""
    assert point.index is not None
    return onward(point.track, point.index, point.state, name, stack, burning)


def onward(
    track: ClimbTrack, i: int, state: State, name: str, stack: Craft, burning: list[str]
) -> AbortMode:
    """Return whether `stack` goes on to the safe orbit from point `i` of a track.

    With the engines of `burning`, in turn; `state` tells what it weighs and what is in its tanks.
    """
    if track.altitude[i] < AIR_ENDS:
        return AbortMode(name, f"it is still below {AIR_ENDS / 1e3:.0f} km")
    _, engine = main_engine(state.scenario.elements[burning[0]])
    safe = R_EARTH + state.scenario.aborts.safe_orbit
    try:
        required = _required(track.r[i], track.v[i], thrust(engine) / state.mass(stack), safe)
    except ArithmeticError:
        return AbortMode(name, "its thrust does not hold the height while it gains speed")
    available = _available(state, stack, burning)
    figure = f"requires {required:,.0f} of {available:,.0f} m/s"
    closed = "" if required <= available else f"it {figure}"
    return AbortMode(name, closed, figure, available - required)


def _available(state: State, stack: Craft, burning: list[str]) -> float:
    """Return the delta-v [m/s] of stages that burn out one after the other, each then dropped."""
    whole = 0.0
    for name in burning:
        _, engine = main_engine(state.scenario.elements[name])
        weighs = state.mass(stack)
        whole += delta_v(engine.isp_vacuum, weighs, weighs - state.ledger.usable(name, engine))
        stack = tuple(each for each in stack if each != name)
    return whole


def _required(r: np.ndarray, v: np.ndarray, acceleration: float, safe: float) -> float:
    """Return what a safe orbit takes [m/s]: level flight to its speed, the climb rate taken out.

    Where the orbit must be raised first, to the radius `safe` [m], a Hohmann transfer is added.
    ArithmeticError where the thrust does not carry the weight. On the safe side: the thrust
    acceleration of the beginning is kept, and a climb rate that could be of use is paid for.
    """
    radius = float(np.linalg.norm(r))
    climbing = float(r @ v) / radius
    level = sqrt(max(0.0, float(v @ v) - climbing**2))
    round_ = twobody.circular_speed(radius, MU_EARTH)
    gaining = level_gain.velocity(level, round_, acceleration, radius, MU_EARTH)
    rise = twobody.hohmann(radius, safe, MU_EARTH).total if radius < safe else 0.0
    return max(0.0, gaining) + abs(climbing) + rise
