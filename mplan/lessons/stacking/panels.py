"""The sliders of lesson 2."""

from __future__ import annotations

from functools import partial

from mplan.lessons.panel import LessonPanel
from mplan.lessons.stacking import pictures
from mplan.plan import Plan
from mplan.show.panels.knobs import Knob

ISP = Knob("isp", "specific impulse", "s", 1.0, 250.0, 470.0, 5.0)


def rocket() -> LessonPanel:
    """Return the panel on the rocket equation."""
    burn = Knob("burn", "delta-v", "m/s", 1.0, 0.0, 10000.0, 100.0)
    return LessonPanel({burn: 3100.0, ISP: 350.0}, pictures.rocket)


def climb() -> LessonPanel:
    """Return the panel on what gravity takes straight up."""
    ratio = Knob("thrust_to_weight", "thrust-to-weight", "", 1.0, 1.05, 3.0, 0.05)
    return LessonPanel({ratio: 1.3, ISP: 300.0}, pictures.climb)


def long_burn() -> LessonPanel:
    """Return the panel on what a long burn loses."""
    low, high = pictures.LEAST, pictures.MOST
    ratio = Knob("thrust_to_weight", "thrust-to-weight", "", 1.0, low, high, 0.05)
    return LessonPanel({ratio: 0.45}, pictures.long_burn)


def stages() -> LessonPanel:
    """Return the panel on stages."""
    burn = Knob("burn", "delta-v", "m/s", 1.0, 3000.0, 12000.0, 100.0)
    structure = Knob("structure", "empty, of a stage", "%", 0.01, 4.0, 20.0, 1.0)
    return LessonPanel({burn: 9300.0, ISP: 350.0, structure: 8.0}, pictures.stages)


def heavier(plan: Plan) -> LessonPanel:
    """Return the panel on what more payload does to the margins of a plan."""
    more = Knob("more", "more to be landed", "kg", 1.0, 0.0, 1000.0, 20.0)
    return LessonPanel({more: 0.0}, partial(pictures.heavier, plan=plan))
