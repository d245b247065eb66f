"""The sliders of lesson 1."""

from __future__ import annotations

from functools import partial

import numpy as np

from mplan.lessons.leaving import pictures
from mplan.lessons.panel import LessonPanel
from mplan.physics import constants as c
from mplan.physics.bodies import ephemeris
from mplan.plan import Plan
from mplan.scenario.arguments import moment
from mplan.show.panels.knobs import Knob

ALTITUDE = Knob("altitude", "parking orbit", "km", 1e3, 150.0, 1000.0, 5.0)
MONTH = 28.0  # d


def circles() -> LessonPanel:
    """Return the panel on the speed of circles."""
    knob = Knob("altitude", "altitude", "km", 1e3, 150.0, 2000.0, 10.0)
    return LessonPanel({knob: 400.0}, pictures.circles)


def ellipse() -> LessonPanel:
    """Return the panel on how far a burn leads."""
    burn = Knob("burn", "burn", "m/s", 1.0, 0.0, 3170.0, 10.0)
    return LessonPanel({burn: 2800.0, ALTITUDE: 185.0}, pictures.ellipse)


def times() -> LessonPanel:
    """Return the panel on the time that the way takes."""
    burn = Knob("burn", "burn", "m/s", 1.0, 3130.0, 3400.0, 1.0)
    return LessonPanel({burn: 3150.0, ALTITUDE: 185.0}, pictures.times)


def month(date: str) -> LessonPanel:
    """Return the panel on the Moon's distance over the four weeks after a date (DE421)."""
    days = np.linspace(0.0, MONTH, 8 * int(MONTH) + 1)
    r = ephemeris.moon(moment("date", date) + days * c.DAY).r
    distances = np.linalg.norm(r, axis=1)
    declinations = np.arcsin(r[:, 2] / distances)
    knob = Knob("day", "days after the date", "d", c.DAY, 0.0, MONTH, 0.5)
    shown = partial(pictures.month, days=days, distances=distances, declinations=declinations)
    return LessonPanel({knob: 0.0}, shown)


def passes(plan: Plan) -> LessonPanel:
    """Return the panel on the windows of a day from the launch site of a plan."""
    site = plan.scenario.launch_site
    limits = site.azimuth_min / c.DEG, site.azimuth_max / c.DEG
    knob = Knob("declination", "declination", "deg", c.DEG, -28.0, 28.0, 1.0)
    shown = partial(pictures.passes, latitude=site.latitude / c.DEG, limits=limits)
    return LessonPanel({knob: 10.0}, shown)
