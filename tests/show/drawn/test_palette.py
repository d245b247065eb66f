"""Colours: one for a leg and for a body, in every picture that is made of a plan."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
from collections import defaultdict

import pytest

import mplan.show
from mplan.show.drawn import palette
from tests.show.test_charts import contrast

LEGS = ("climb", "outbound", "lunar_orbit", "descent", "surface", "ascent", "homeward", "entry")
BODIES = ("earth", "moon", "sun")
NAMED = {  # by what pictures call them
    "to the Moon": "outbound",
    "the ship": "outbound",
    "behind the Moon": "outbound",
    "home": "homeward",
    "lunar orbit": "lunar_orbit",
    "track at arrival": "lunar_orbit",
    "on the Moon": "surface",
    "climb and Earth orbit": "climb",
    "height": "climb",
    "descent": "descent",
    "ascent": "ascent",
    "as flown": "entry",
    "all parachutes": "entry",
    "Earth": "earth",
    "Moon": "moon",
    "limb": "moon",
    "Sun over the site": "sun",
}


def drawings(plan, theme):
    """Yield what every module of pictures draws of a plan alone, by its name."""
    for found in pkgutil.walk_packages(mplan.show.__path__, "mplan.show."):
        module = importlib.import_module(found.name)
        draw = getattr(module, "drawing", None)
        if draw is None or draw.__module__ != found.name:
            continue
        first = next(iter(inspect.signature(draw).parameters.values()))
        if first.annotation == "Plan":
            yield found.name, draw(plan, theme)


def colours(trace):
    """Yield names and colours of a trace: of the line or area, or of each bar that says its own."""
    if trace["type"] == "bar" and "customdata" in trace:
        yield from zip(trace["customdata"], trace["marker"]["color"], strict=True)
    elif trace["type"] == "scatter" and "lines" in trace["mode"]:
        yield trace.get("name"), trace["line"]["color"]


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_a_leg_and_a_body_have_one_colour_in_all_pictures(landing_plan, theme):
    """Whatever picture names one, it has the colour of the palette."""
    look, where = palette.look(theme), defaultdict(set)
    for picture, drawing in drawings(landing_plan, theme):
        for trace in drawing.traces:
            for name, colour in colours(trace):
                if name in NAMED:
                    where[NAMED[name]].add(picture)
                    assert colour == getattr(look, NAMED[name]), (picture, name)
    for curve in mplan.show.climb.curves.CURVES:
        assert curve.drawing(landing_plan, theme).traces[0]["line"]["color"] == look.climb
    assert set(where) >= {"outbound", "homeward", "descent", "ascent", "earth", "moon", "surface"}
    assert len(where["outbound"]) >= 3, "the way to the Moon is in several pictures"


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_legs_are_told_apart(theme):
    """No two legs share a colour, nor two bodies, and each stands out from the paper."""
    look = palette.look(theme)
    for names in (LEGS, BODIES):
        assert len({getattr(look, name) for name in names}) == len(names)
    for name in LEGS:
        assert contrast(getattr(look, name), look.paper) >= 3.0, name


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_words_on_phases_can_be_read(landing_plan, theme):
    """What stands on a bar of the ladder has the contrast that WCAG 2.1 asks for: 4.5 to 1."""
    from mplan.show.mission import event_ladder

    look = palette.look(theme)
    for span in event_ladder.phases(landing_plan):
        assert contrast(*event_ladder._shade(span, look)) >= 4.5, span.name
