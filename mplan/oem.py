"""The arcs as a CCSDS Orbit Ephemeris Message (502.0-B-2, section 5), in its text form.

One segment an integrated arc, about Earth, in kilometres and km/s. The axes are those of the
ICRF. Time is TDB, in which the arcs are flown: it runs evenly, so that a reader may interpolate
across a leap second, and needs no table of leap seconds for the years to come. The UTC of both
ends stands in a comment.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta, timezone
from typing import NamedTuple

import numpy as np

import mplan
from mplan.cautions import CAUTIONS
from mplan.flight.steps import interface_of
from mplan.lettering import ascii_line
from mplan.physics import constants as c
from mplan.physics.arcs import nbody
from mplan.physics.bodies.lunar_gravity import Degree
from mplan.physics.bodies.time import utc_from_tdb
from mplan.plan import Plan

DEGREE = 7  # of the interpolation a reader should use
STEP = 0.025  # between states, of the local dynamic time: degree 7 then errs by less than 0.1 m
LOOK = 120.0  # s, at which the dynamic time is looked up: it is 800 s at its shortest
J2000 = datetime(2000, 1, 1, 12)  # in TDB


class Segment(NamedTuple):
    """An arc: what it is, and its geocentric states at `times` [TDB s] in [m, m/s]."""

    name: str
    times: np.ndarray
    states: np.ndarray  # (n, 6)


class NoArcs(LookupError):
    """A flight without integrated arcs; a message needs one at least. The text says why."""


def message(plan: Plan, made: datetime) -> str:
    """Return the plan's arcs as the text of an OEM, created at `made` (aware).

    Raises NoArcs where the flight ends before the first of them.
    """
    if plan.flight.ended and not plan.flight.dated:
        raise NoArcs(f"No arcs to write: {plan.flight.ended.text}.")
    lines = [
        "CCSDS_OEM_VERS = 2.0",
        f"COMMENT {ascii_line(plan.scenario.mission.name)}: a planned mission, not a flown one",
        *(f"COMMENT {caution}" for caution in CAUTIONS),
        f"COMMENT scenario {plan.scenario.hash}, mplan {mplan.__version__}, DE421",
        "COMMENT The integrated arcs alone, without climb, parking orbit and lunar orbit",
        f"CREATION_DATE = {made.astimezone(timezone.utc):%Y-%m-%dT%H:%M:%S}",
        "ORIGINATOR = MPLAN",
    ]
    for segment in segments(plan):
        lines += ["", *_metadata(plan, segment), "", *_data(segment)]
    return "\n".join(lines) + "\n"


def segments(plan: Plan) -> Iterator[Segment]:
    """Yield the integrated arcs in flight order.

    An arc ends where a burn begins the next; a flyby's outbound and homeward arcs meet at perilune.
    """
    end = plan.flight.end
    near, interface = end.outbound.perilune, interface_of(end)
    arcs = end.translunar_arcs
    names: tuple[str, ...] = ("outbound arc, injection to perilune",)
    if len(arcs) > 1:
        names = ("outbound arc, injection to transfer", "outbound arc, transfer to perilune")
    for name, each in zip(names, arcs, strict=True):
        yield _arc(name, each.r, each.v, each.begin, each.end)
    if end.homeward and interface:
        home = end.homeward
        yield _arc(
            "homeward arc, burn to entry interface",
            home.r,
            home.v,
            home.t,
            interface.t,
            home.leaving.degree,
        )
    elif interface:
        yield _arc("return arc, perilune to its end", near.r, near.v, near.t, interface.t)


def _arc(
    name: str, r: np.ndarray, v: np.ndarray, t: float, until: float, degree: Degree = 2
) -> Segment:
    after = _nodes(r, v, t, until - t)
    return Segment(name, t + after, nbody.path(r, v, t, after, degree=degree)[:, :6])


def _nodes(r: np.ndarray, v: np.ndarray, t: float, duration: float) -> np.ndarray:
    """Return times [s] after `t` at equal steps of the time that runs as the motion does.

    Its pace is sqrt(mu / distance^3), added up over Earth and Moon: dense near either, and no
    step much longer than the one before.
    """
    after = np.linspace(0.0, duration, int(np.ceil(duration / LOOK)) + 1)
    path = nbody.path(r, v, t, after)
    from_earth, from_moon = path[:, :3], path[:, :3] - path[:, 6:9]
    pace = _rate(c.MU_EARTH, from_earth) + _rate(c.MU_MOON, from_moon)
    passed = np.cumsum((pace[1:] + pace[:-1]) / 2.0 * np.diff(after))
    count = max(int(np.ceil(passed[-1] / STEP)), DEGREE)
    return np.interp(np.linspace(0.0, passed[-1], count + 1), [0.0, *passed], after)


def _rate(mu: float, r: np.ndarray) -> np.ndarray:
    return np.sqrt(mu / np.linalg.norm(r, axis=-1) ** 3)


def _metadata(plan: Plan, segment: Segment) -> list[str]:
    start, stop = segment.times[0], segment.times[-1]
    return [
        "META_START",
        f"COMMENT {segment.name}",
        f"COMMENT from {utc_from_tdb(start):%Y-%m-%d %H:%M:%S} "
        f"to {utc_from_tdb(stop):%Y-%m-%d %H:%M:%S} UTC",
        f"OBJECT_NAME = {ascii_line(plan.scenario.mission.name).upper()}",
        # Not of the form YYYY-NNNP: nobody registered what is only planned.
        f"OBJECT_ID = PLAN {plan.scenario.hash.upper()}",
        "CENTER_NAME = EARTH",
        "REF_FRAME = ICRF",
        "TIME_SYSTEM = TDB",
        f"START_TIME = {_epoch(start)}",
        f"STOP_TIME = {_epoch(stop)}",
        "INTERPOLATION = LAGRANGE",
        f"INTERPOLATION_DEGREE = {DEGREE}",
        "META_STOP",
    ]


def _data(segment: Segment) -> Iterator[str]:
    for t, state in zip(segment.times, segment.states / 1e3, strict=True):
        yield " ".join((_epoch(t), *(f"{x:.11e}" for x in state)))  # 0.5 mm at the Moon


def _epoch(t: float) -> str:
    """Return `t` [TDB s] to the microsecond, in which a craft moves a centimetre at most."""
    return f"{J2000 + timedelta(seconds=float(t)):%Y-%m-%dT%H:%M:%S.%f}"
