"""A drawing over its reference: what changed has an outline, and what did not has none."""

from __future__ import annotations

import io
from dataclasses import replace

import numpy as np
import pytest
from PIL import Image

import mplan
from mplan.show.climb import curves, loss_bars
from mplan.show.drawn import palette, rows
from mplan.show.drawn.figure import Drawing, Picture
from mplan.show.drawn.reference import BEFORE, CLEAR, GUIDE, behind
from mplan.show.mission import burn_bars, event_ladder, flight_path
from mplan.show.moon import descent_path
from mplan.show.stack import side_view

OF_ANY = (burn_bars, event_ladder, flight_path, loss_bars, curves.PRESSURE, side_view)
LOOK = palette.look()


@pytest.fixture(scope="module")
def other(landing_plan):
    """The landing with more to land, climbed with, and a shorter stay."""
    changes = {"mission.surface_stay": "20 h", "mission.payload_down": "700 kg"}
    return mplan.fly(landing_plan.scenario.change(changes))


def bars(names, sizes, *more, barmode="stack"):
    """Return a drawing of rows with one part or several."""
    traces = [
        rows.part(f"part {i}", each, names, LOOK.main, "", LOOK, "%{x}")
        for i, each in enumerate((sizes, *more))
    ]
    axes = rows.axes(LOOK, names, "delta-v [m/s]", 0.0, 2.0 * max(sizes))
    return Drawing(traces, **axes, height=200, summary="", look=LOOK, more=rows.more(barmode))


def outlines(drawing):
    """Return the clear bars and the dotted lines that lie in front of nothing."""
    return [
        x
        for x in drawing.traces
        if x.get("marker", {}).get("color") == CLEAR or x.get("line", {}).get("dash") == "dot"
    ]


@pytest.mark.parametrize("picture", OF_ANY, ids=lambda x: getattr(x, "__name__", "pressure"))
def test_its_own_reference_adds_nothing(any_plan, picture):
    """A plan beside itself is drawn as it is, object for object."""
    drawn = picture.drawing(any_plan)
    assert behind(drawn, picture.drawing(any_plan)) is drawn


@pytest.mark.parametrize("picture", [burn_bars, flight_path, event_ladder, curves.ALTITUDE])
def test_a_change_is_outlined_behind(landing_plan, other, picture):
    """What moved gets outlines ahead of all own traces, one of them named, and no words."""
    now, then = picture.drawing(other), picture.drawing(landing_plan)
    both = behind(now, then)
    new = both.traces[: -len(now.traces)]
    assert new, picture
    assert [x.get("name") for x in new if x.get("name")] == [BEFORE]
    assert not any("text" in x for x in new)
    for own, before in zip(both.traces[len(new) :], now.traces, strict=True):
        assert (own["x"], own["y"]) == (before["x"], before["y"])


def test_outlines_have_the_size_of_the_reference(landing_plan, other):
    """The outline of a row comes to what the bars of the reference came to, where it changed."""
    now, then = burn_bars.drawing(other), burn_bars.drawing(landing_plan)
    (outline,) = behind(now, then).traces[: -len(now.traces)]
    whole = {
        name: sum(x["x"][i] for x in then.traces if x["type"] == "bar")
        for i, name in enumerate(then.traces[0]["y"])
    }
    ends: dict[str, float] = {}
    for name, begin, size in zip(outline["y"], outline["base"], outline["x"], strict=True):
        ends[name] = max(ends.get(name, 0.0), begin + size)
    assert "powered descent" in ends
    assert ends == pytest.approx({name: whole[name] for name in ends})


def test_rows_that_only_one_has():
    """A row that is gone keeps its place and its outline; a new one has none."""
    now = bars(["climb", "landing"], [100.0, 50.0])
    then = bars(["climb", "way out", "landing", "way home"], [100.0, 20.0, 50.0, 30.0])
    both = behind(now, then)
    assert both.y["categoryarray"][::-1] == ["climb", "way out", "landing", "way home"]
    assert both.traces[0]["y"] == ["way out", "way home"]
    assert both.height > now.height
    back = behind(then, now)
    assert back.traces == then.traces, "nothing of the reference is elsewhere"


def test_parts_of_a_stack_are_outlined_from_where_they_begin():
    """The outline of the second part begins where the first one ended, thicker than the bar."""
    both = behind(bars(["a"], [10.0], [5.0]), bars(["a"], [20.0], [7.0]))
    (outline, *_) = both.traces
    assert (outline["base"], outline["x"]) == ([0.0, 20.0], [20.0, 7.0])
    assert outline["width"] > 1.0 - rows.more("stack")["bargap"]


def test_lanes_with_numbers_are_matched_by_their_names():
    """A lane that stands one row lower in the reference is outlined in its own row here."""
    lane = {"type": "bar", "orientation": "h", "width": 0.8, "base": [0.0]}
    marker = {"marker": {"color": LOOK.main, "line": {"width": 0}}}

    def ladder(names, size):
        y = palette.axis(LOOK, tickvals=list(range(len(names))), ticktext=names, range=[2.5, -0.5])
        row = names.index("aboard lander")
        traces = [{**lane, **marker, "x": [size], "y": [row]}]
        return Drawing(traces, palette.axis(LOOK, range=[0.0, 9.0]), y, 200, "", LOOK)

    both = behind(ladder(["aboard lander"], 4.0), ladder(["phase", "aboard lander"], 6.0))
    assert (both.traces[0]["y"], both.traces[0]["x"]) == ([0], [6.0])
    assert both.y["range"] == [2.5, -0.5]


def test_axes_reach_as_far_as_both():
    """The longer reference widens the axis; a shorter one leaves it."""
    short, long = bars(["a"], [10.0]), bars(["a"], [30.0])
    assert behind(short, long).x["range"] == [0.0, 60.0]
    assert behind(long, short).x["range"] == [0.0, 60.0]


def test_guides_and_words_are_not_compared():
    """A ruler or a line to words is the drawing's own; the reference's is left out."""
    line = {"type": "scatter", "mode": "lines", "x": [0, 1], "y": [0, 1], "line": {"width": 1}}
    axes = {"x": palette.axis(LOOK), "y": palette.axis(LOOK), "height": 100, "summary": ""}
    now = Drawing([line], **axes, look=LOOK)
    for kind in ({"meta": GUIDE}, {"mode": "text"}):
        then = replace(now, traces=[{**line, **kind, "x": [0, 9]}])
        assert behind(now, then) is now, kind
    assert len(outlines(behind(now, replace(now, traces=[{**line, "x": [0, 9]}])))) == 1


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_a_still_shows_the_outlines(landing_plan, other, theme):
    """The picture without a script has other pixels with the reference than without, in its ink."""
    quiet = np.array([int(palette.look(theme).quiet[i : i + 2], 16) for i in (1, 3, 5)])
    for module in (burn_bars, event_ladder, flight_path, descent_path):
        now, then = module.drawing(other, theme), module.drawing(landing_plan, theme)
        alone, both = (Picture(x).png() for x in (now, behind(now, then)))
        assert alone != both, module.__name__
        if module is burn_bars:
            counts = [
                int(
                    (np.abs(np.array(Image.open(io.BytesIO(x)).convert("RGB")) - quiet) < 8)
                    .all(axis=2)
                    .sum()
                )
                for x in (alone, both)
            ]
            assert counts[1] > counts[0] + 50


def test_heights_of_two_stacks_stand_over_one_another(landing_plan):
    """A shorter stack keeps the outline of the one that it is compared with, to its top."""
    from mplan.vehicle.stack import on_pad

    scenario = landing_plan.scenario
    name = scenario.stack[0]
    tank = next(iter(scenario.elements[name].tanks))
    load = scenario.elements[name].tanks[tank].load
    taller = scenario.change({f"elements.{name}.tanks.{tank}.load": f"{1.2 * load} kg"})
    assert on_pad(taller).height > on_pad(scenario).height + 0.5
    now, then = side_view.of(scenario), side_view.of(taller)
    both = behind(now, then)
    new = both.traces[: -len(now.traces)]
    top = max(y for x in new for y in x["y"] if y is not None)
    assert top == pytest.approx(on_pad(taller).height, abs=0.01)
    assert both.y["range"][1] >= top
