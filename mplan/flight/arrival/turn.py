"""The turn into the plane over the site: at insertion and at later burns on the line of apsides.

Perilune of the arrival lies in the wanted plane, so that insertion, a plane change at apolune and
the circularisation all turn about the same line. What each takes is worked out anew before it, from
the plane as it then is; the last takes what is left.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import atan2

import numpy as np

from mplan.flight import lunar_orbit
from mplan.flight.arrival.site import over_site
from mplan.flight.ships import joining
from mplan.flight.state import Aimed, Apse, Need, State
from mplan.flight.unflyable import Unflyable
from mplan.physics import constants as c
from mplan.physics.arcs.lunar_orbit import LunarOrbit, coast
from mplan.physics.burns.aimed_burn import velocity_in_plane
from mplan.physics.burns.shared_turn import combined, share_turn
from mplan.physics.twobody import circular_speed, speed
from mplan.physics.vectors import cosine_between, cross, turned, unit
from mplan.scenario import Event, Scenario
from mplan.scenario.events import leg_of
from mplan.scenario.profiles import CIRCULARISATION, PLANE_CHANGE
from mplan.scenario.stated import stated

CIRCLE = CIRCULARISATION
SLOWS = 0.1  # m/s: less and the burn turns alone
ASIDE = 1.0 * c.DEG  # of the line of apsides from the wanted plane: more and it is out of reach


def to_azimuth(scenario: Scenario, ahead: Sequence[Event]) -> bool:
    """Tell whether the burns into lunar orbit turn into the plane of an approach azimuth."""
    lands = any(event.do == "land" for event in ahead)
    return scenario.orbits.approach_azimuth is not None and lands


def into_plane(state: State, ahead: Sequence[Event]) -> bool:
    """Tell whether they turn: into that plane, or into that of a ship that is met."""
    meets = joining.met_at_the_moon(state, ahead) is not None
    return meets or to_azimuth(state.scenario, ahead)


def _wanted(state: State, t: float, ahead: Sequence[Event], wait: float) -> np.ndarray:
    """Return the normal of the plane to be in at `t` [TDB s]."""
    met = joining.met_at_the_moon(state, ahead)
    if met is None:
        return over_site(state.scenario, t, wait)
    return coast(met, t - met.t).normal


def turned_need(
    state: State, orbit: LunarOrbit, after: float, ahead: Sequence[Event], wait: float
) -> Need:
    """Return the burn at an apse of `orbit` that takes its share of the turn.

    It leaves a speed `after` [m/s]; `wait` [s] from there to the landing. Unflyable where no turn
    about the line of apsides leads into the wanted plane.
    """
    normal = _wanted(state, orbit.t, ahead, wait)
    up, before = unit(orbit.r), float(np.linalg.norm(orbit.v))
    if abs(float(normal @ up)) > np.sin(ASIDE):
        _refuse(state.scenario, float(np.arcsin(abs(cosine_between(normal, up)))))
    level = unit(normal - (normal @ up) * up)
    whole = atan2(float(up @ cross(orbit.normal, level)), float(orbit.normal @ level))
    turn = share_turn(whole, [(before, after), *_later(state.scenario, ahead)])[0]
    v = after * turned(unit(orbit.v), up, turn)
    there = orbit._replace(v=v)
    straight = abs(before - after)
    extra = float(combined(before, after, turn)) - straight
    return Need(
        straight,
        state,
        state.on_orbit(there),
        losses={"plane turn": extra},
        apse=_flown(orbit, there, extra),
        place=orbit.r,
        note=f"the plane turns by {abs(turn) / c.DEG:.2f} deg",
    )


def _flown(orbit: LunarOrbit, there: LunarOrbit, extra: float) -> Apse | Aimed:
    """Return how the burn is flown out: a turn alone in three dimensions, else in its plane.

    One that slows as well loses what a burn in the plane of the same size would: the sideways part
    loses less.
    """
    radius, after = float(np.linalg.norm(orbit.r)), float(np.linalg.norm(there.v))
    if abs(float(np.linalg.norm(orbit.v)) - after) > SLOWS:
        return Apse(radius, after, c.MU_MOON, arriving=True, turned=extra)
    energy = after**2 / 2.0 - c.MU_MOON / radius
    target = velocity_in_plane(there.normal, energy, c.MU_MOON)
    return Aimed(orbit.r, orbit.v, target, c.MU_MOON)


def _later(scenario: Scenario, ahead: Sequence[Event]) -> list[tuple[float, float]]:
    """Return the speeds before and after the burns to come that may turn the plane as well."""
    circle = lunar_orbit.radius(scenario)
    round_ = circular_speed(circle, c.MU_MOON)
    found: list[tuple[float, float]] = []
    if scenario.orbits.plane_turn == "at insertion":
        return found
    legs = [leg_of(event) for event in ahead[: _landing(ahead)]]
    ellipse = CIRCLE in legs
    apolune = c.R_MOON + (scenario.orbits.capture_apolune or 0.0)
    a = (circle + apolune) / 2.0
    for leg in legs:
        if leg == CIRCLE:
            found.append((speed(circle, a, c.MU_MOON), round_))
            ellipse = False
        elif leg == PLANE_CHANGE:
            pace = speed(apolune, a, c.MU_MOON) if ellipse else round_
            found.append((pace, pace))
    return found


def _landing(ahead: Sequence[Event]) -> int:
    """Return the index of the landing, or of the meeting that comes before it."""
    return next(
        i
        for i, event in enumerate(ahead)
        if event.do == "land" or leg_of(event) == joining.AT_THE_MOON
    )


def _refuse(scenario: Scenario, off: float) -> None:
    if scenario.orbits.approach_azimuth is None:
        raise Unflyable(
            ("dates", "launch_day"),
            f"found {scenario.dates.launch_day}, on which the way to the Moon passes "
            f"{off / c.DEG:.0f} deg off the plane of the ship to be met; accepted: another day",
        )
    azimuth = stated(scenario.orbits.approach_azimuth, "orbits.approach_azimuth")
    raise Unflyable(
        ("orbits", "approach_azimuth"),
        f"found {azimuth / c.DEG:g} deg, whose plane the way to the Moon passes "
        f"{off / c.DEG:.0f} deg off; accepted: an azimuth nearer to the course of the arrival, or "
        "none",
    )
