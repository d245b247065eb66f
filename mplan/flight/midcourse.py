"""Midcourse corrections: worked out from how far burns miss, or an allowance where none is stated.

The tanks must hold the 99 % correction; the mean one is told beside it. Corrections of one arc
follow from one another: each takes out what the one before left.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from mplan.flight.state import Need, NotYet, State, existing
from mplan.physics.arcs.dispersion import (
    Correction,
    Execution,
    InjectionErrors,
    Knowledge,
    covariance,
    plan_corrections,
)
from mplan.scenario import Scenario
from mplan.scenario.stated import stated

Start = tuple[np.ndarray, np.ndarray, float, float]  # r [m], v [m/s], t [TDB s], duration [s]


def outbound_start(state: State) -> Start:
    """Return the arc to the Moon that the ship is on, from right after the burn before it.

    Of a hybrid, before the transfer: the free return, up to its own perilune.
    """
    arcs, departing = state.translunar_arcs, existing(state.departing, "a way to the Moon")
    change = departing.transfer
    if change is not None and not departing.transferred:
        r, v, begin, _ = arcs[0]
        return r, v, begin, change.unchanged.t - begin
    r, v, begin, end = arcs[-1]
    return r, v, begin, end - begin


def homeward_start(state: State) -> Start:
    """Return the arc home: from the return burn, or round the Moon from its perilune."""
    home, around = state.homeward, state.free_return
    if home:
        return home.r, home.v, home.t, home.interface.t - home.t
    if around is None:
        raise NotYet("there is not yet a way home")
    there = state.outbound.perilune
    return there.r, there.v, there.t, around.t - there.t


def corrections(scenario: Scenario, start: Start, times: Sequence[float]) -> tuple[Correction, ...]:
    """Return the corrections of an arc at `times` [s after its start], by the stated errors."""
    errors = stated(scenario.errors, "[errors]")
    r, v, t, duration = start
    spread = covariance(r, v, t, InjectionErrors(errors.speed, errors.direction, errors.time))
    execution = Execution(errors.correction_size, errors.correction_direction)
    knowledge = Knowledge(errors.position_known, errors.speed_known)
    return plan_corrections(r, v, t, duration, times, spread, execution, knowledge)


def need(state: State, start: Start, allowed: float | None, key: str) -> Need:
    """Return what a correction made now requires: worked out, or `allowed` under `key` [m/s]."""
    if state.scenario.errors is None:
        key = f"allowances.{key}"
        return Need(stated(allowed, key), state, state, estimate=f"stated in {key}")
    times = (*state.corrected, state.t - start[2])
    last = corrections(state.scenario, start, times)[-1]
    note = f"99 %; mean {last.mean:.1f} m/s; residual miss {last.miss / 1e3:.0f} km rms"
    return Need(last.most, state, replace(state, corrected=times), note=note)
