"""The coasts of a plan, integrated again with points close together, for those who look at them."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from mplan.flight.state import Arc
from mplan.physics import constants as c
from mplan.physics.arcs import nbody
from mplan.physics.bodies import ephemeris
from mplan.physics.bodies.lunar_gravity import Degree
from mplan.plan import Plan

POINTS = 160  # a coast
MARKS = 12.0 * c.HOUR  # from lift-off on, a point at each


class Coast(NamedTuple):
    """A coast: times [TDB s] and places (n, 3) [m], geocentric."""

    name: str
    t: np.ndarray
    r: np.ndarray


def of(plan: Plan) -> list[Coast]:
    """Return the translunar and the homeward arc, integrated as they were flown."""
    end = plan.flight.end
    out, home = end.outbound, end.homeward
    marks = (end.lift_off, MARKS)
    coasts = [
        _coast("to the Moon", each.r, each.v, each.begin, each.end, marks)
        for each in end.translunar_arcs
    ]
    if home is not None:
        degree = home.leaving.degree
        coasts.append(_coast("home", home.r, home.v, home.t, home.interface.t, marks, degree))
    elif end.free_return is not None:
        near = out.perilune
        coasts.append(_coast("home", near.r, near.v, near.t, end.free_return.t, marks))
    return coasts


def along(name: str, arc: Arc, zero: float) -> Coast:
    """Return a coast from its first state, marked every 12 h from `zero` [TDB s] on."""
    return _coast(name, arc.r, arc.v, arc.begin, arc.end, (zero, MARKS))


def _coast(
    name: str,
    r: np.ndarray,
    v: np.ndarray,
    begin: float,
    end: float,
    marks: tuple[float, float],
    degree: Degree = 2,
) -> Coast:
    """Return an arc, its points close together near its ends, with those at the marks."""
    zero, step = marks
    spread = begin + (end - begin) * (1.0 - np.cos(np.linspace(0.0, np.pi, POINTS))) / 2.0
    first = zero + np.ceil((begin - zero) / step) * step
    t = np.union1d(spread, np.arange(first, end, step))
    return Coast(name, t, nbody.path(r, v, begin, t - begin, degree=degree)[:, :3])


def moon(t: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Return the Moon's geocentric places [m] and velocities [m/s] (n, 3) at `t` (n,) [TDB s]."""
    luna = ephemeris.moon(t)
    return luna.r, luna.v
