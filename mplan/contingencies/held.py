"""Whether a climb with an engine out can be held on its way, from the failure on.

Required and available as at the moments of the plan (`vehicle.control`): the moment of the engine
that has stopped, with the thrust, the centre of mass and the inertia of the climb as it is flown
then; the design wind with the dynamic pressure that it meets; misalignment and steering beside
them, all at their worst together, times the margin factor of [control]. It is asked for every few
seconds, and wherever the air turns the stack most, until the element whose engine has stopped is
gone: then the craft is whole again.
"""

from __future__ import annotations

from math import inf
from typing import NamedTuple

import numpy as np

from mplan.flight.controlling import conditions, engine_out
from mplan.flight.controlling.engine_out import BurnWithEngineOut
from mplan.flight.record import Flight
from mplan.flight.state import State
from mplan.physics.climb.launch_climb import LaunchClimb
from mplan.physics.climb.launch_vehicle import EngineOut
from mplan.vehicle.control import authority
from mplan.vehicle.control.contribution import AXES, WORDS, Axis

STEP = 5.0  # s between the moments that are asked for (our choice)
FINE = 0.5  # s, to which the moment is found at which control is lost
UNGUIDED = "no active guidance element controls the craft"


class ControlMoment(NamedTuple):
    """When [s since lift-off] control requires what share of what there is, and about which axis.

    The share is infinite where nothing controls the craft.
    """

    share: float
    t: float
    axis: Axis = "pitch"

    @property
    def words(self) -> str:
        """The share in words."""
        if self.share == inf:
            return UNGUIDED
        of = f"of the control authority in {WORDS[self.axis]}"
        return f"{100.0 * self.share:.0f} % {of} is required {self.t:.0f} s after lift-off"


class ControlHeld(NamedTuple):
    """The worst moment of a climb with an engine out, and from when it is lost; None where held.

    `left` is the state of the stack when control is lost.
    """

    worst: ControlMoment | None
    lost: float | None = None
    left: State | None = None

    @property
    def words(self) -> str:
        """The worst moment in words, and when control is lost; "" where nothing is worked out."""
        if self.worst is None:
            return ""
        if self.lost is None:
            return f"at most {self.worst.words}"
        return f"control is lost {self.lost:.0f} s after lift-off: {self.worst.words}"


def judged(flight: Flight, out: EngineOut, flown: LaunchClimb) -> ControlHeld:
    """Return whether the climb `flown` with an engine out is held on its way.

    Where its thrust does not carry it, up to its highest point alone: what falls back is no climb.
    Nothing is worked out of a stage that the plan's own climb does not come to. A gimbal that is
    not stated bars nothing: it is asked for elsewhere.
    """
    try:
        burn = engine_out.of_climb(flight, out, flown)
    except LookupError:
        return ControlHeld(None)
    asked = [(t, _share(burn, t)) for t in _times(burn, flight, flown)]
    found = [x for _, x in asked if x is not None]
    if not found:
        return ControlHeld(None)
    worst, before = max(found, key=lambda x: x.share), burn.t
    for t, share in asked:
        if share is not None and share.share > 1.0:
            lost = _edge(burn, before, t)
            return ControlHeld(worst, lost, burn.state(lost))
        before = t
    return ControlHeld(worst)


def _times(burn: BurnWithEngineOut, flight: Flight, flown: LaunchClimb) -> list[float]:
    """Return when control is asked for, as long as the element with the stopped engine is there."""
    until = float(flown.track.t[int(np.argmax(flown.track.altitude))]) if flown.trouble else inf
    gone = [each.t for each in burn.cast_off if burn.element in each.elements]
    begin, end = max(0.0, burn.t), min([burn.end, until, *gone]) - conditions.JUST_BEFORE
    if end <= begin:
        return []
    evenly = np.linspace(begin, end, int((end - begin) / STEP) + 2).tolist()
    peaks = conditions.peaks_of_moment(flown.track, flight.scenario)
    return sorted([*evenly, *(t for t in peaks if begin < t < end)])


def _share(burn: BurnWithEngineOut, t: float) -> ControlMoment | None:
    """Return what control requires at a time of what there is, the axis nearest its limit."""
    at = burn.at("", t)
    if at.controller is None:
        return ControlMoment(inf, t)
    found = authority.of(at)
    shares = [(found.share(axis), axis) for axis in AXES]
    known = [ControlMoment(share, t, axis) for share, axis in shares if share is not None]
    return max(known, key=lambda x: x.share, default=None)


def _edge(burn: BurnWithEngineOut, held: float, lost: float) -> float:
    """Return when control is lost, between two times at which it is held and is not [s]."""
    while lost - held > FINE:
        middle = (held + lost) / 2.0
        share = _share(burn, middle)
        if share is not None and share.share > 1.0:
            lost = middle
        else:
            held = middle
    return lost
