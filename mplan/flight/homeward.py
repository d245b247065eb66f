"""Out of lunar orbit and home: an integrated arc to the entry interface."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from mplan.flight import midcourse
from mplan.flight.entry import DOWNRANGE
from mplan.flight.state import Apse, Need, State
from mplan.flight.unflyable import Unflyable
from mplan.physics import constants as c
from mplan.physics import homeward, recovery
from mplan.physics.twobody import circular_speed
from mplan.scenario import Burn, Event


def injection(state: State, burn: Burn, ahead: Sequence[Event]) -> Need:
    """Return the return burn, at the best place of the next revolution.

    Raises Unflyable where no arc leads home.
    """
    flown = _target(state)
    at = state.until(flown.t)
    radius = float(np.linalg.norm(at.orbit.r))
    apse = Apse(radius, circular_speed(radius, c.MU_MOON), c.MU_MOON)
    then = replace(at, orbit=None, homeward=flown, corrected=())
    return Need(flown.delta_v, at, then, apse=apse, place=at.orbit.r)


def _target(state: State) -> homeward.Homeward:
    duration, area = state.scenario.dates.transearth_time, state.scenario.recovery
    asked = {"time_of_flight": duration, "entry_angle": state.scenario.orbits.entry_angle}
    try:
        if area is None:
            return homeward.target(state.orbit, **asked)
        return recovery.target(state.orbit, longitude=area.longitude, distance=DOWNRANGE, **asked)
    except ArithmeticError as problem:
        text = f"found {duration / c.HOUR:g} h, for which no arc home was found ({problem})"
        text += "; accepted: mostly 50 h to 110 h"
        raise Unflyable(("dates", "transearth_time"), text) from problem


def correction(state: State, burn: Burn, ahead: Sequence[Event]) -> Need:
    """Return the homeward midcourse correction."""
    stated = state.scenario.allowances.homeward_correction
    return midcourse.need(state, midcourse.homeward_start(state), stated, "homeward_correction")
