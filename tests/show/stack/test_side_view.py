"""The side view is to scale, says what it shows in words, and no words lie over others."""

from __future__ import annotations

from itertools import pairwise
from types import SimpleNamespace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mplan.show import stack
from mplan.show.drawn import outlines
from mplan.show.drawn.figure import Picture
from mplan.show.drawn.outlines import apart
from mplan.show.stack import side_view, tables
from mplan.vehicle import geometry
from mplan.vehicle.stack import on_pad
from mplan.vehicle.tankage import Vessel


@pytest.fixture(scope="module")
def drawn(reference_landing):
    return side_view.of(reference_landing)


def named(drawing, name):
    return next(trace for trace in drawing.traces if trace.get("name") == name)


def words(drawing):
    return [text for trace in drawing.traces for text in trace.get("text", ())]


def test_to_scale(drawn, reference_landing):
    """Elements are drawn as tall and wide as they are, on axes of equal metres."""
    lines = named(drawn, "elements")
    known = [y for y in lines["y"] if y is not None]
    stack = on_pad(reference_landing)
    assert (min(known), max(known)) == pytest.approx((0.0, stack.height), abs=1e-3)
    assert 2.0 * max(x for x in lines["x"] if x is not None) == pytest.approx(stack.width)
    assert drawn.y["scaleanchor"] == "x"


def test_the_pad_is_drawn_in(drawn, reference_landing):
    door, pad = named(drawn, "assembly-hall door"), reference_landing.launch_site.pad
    assert max(door["y"]) == pad.door_height
    assert max(door["x"]) - min(door["x"]) == pad.door_width


def test_every_element_tank_and_engine_is_named(drawn, reference_landing):
    """Names, lengths, propellants, loads and engines stand in words, not in colour alone."""
    said = words(drawn)
    stack = geometry.standing(reference_landing)
    lengths = [f", {each.layout.length:.2f} m" for each in stack]
    assert all(any(text.endswith(x) for text in said) for x in lengths)
    for each in stack:
        for tank in each.layout.tanks:
            text = f"{tank.propellant}, {tank.load / 1e3:,.1f} t"
            assert any(said_.endswith(text) for said_ in said)
    assert "6 engines Kerosene-9" in said


def test_words_have_room(drawn):
    """In each column, lines of words lie a line apart and inside the picture."""
    low, high = drawn.y["range"]
    columns = [x for x in drawn.traces if x["mode"] == "text" and "middle" in x["textposition"]]
    assert len(columns) == 2
    for column in columns:
        assert all(b - a >= side_view.LINE * (high - low) - 1e-3 for a, b in pairwise(column["y"]))
        assert low < column["y"][0]
        assert column["y"][-1] < high


def test_too_tall_is_said(overheight):
    drawing = side_view.drawing(overheight)
    door = "Assembly-hall door: height 98.5 m, 2.8 m too tall, width 11.0 m, 1.8 m to spare"
    assert {"stack 101.3 m tall, 9.2 m wide", door} <= set(words(drawing))
    assert drawing.summary.startswith("The stack of 9 elements to scale: 101.3 m tall, 9.2 m")


def test_boosters_stand_beside(reference_landing):
    paired = reference_landing.change(
        {"elements.second_stage.beside": "first_stage", "elements.second_stage.bodies": 2}
    )
    lines = named(side_view.of(paired), "elements")
    across = [x for x in lines["x"] if x is not None]
    assert max(across) - min(across) == pytest.approx(on_pad(paired).width)


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_still_picture(reference_landing, theme):
    """The PNG is one, and a few dozen kilobytes."""
    png = Picture(side_view.of(reference_landing, theme)).png()
    assert png.startswith(b"\x89PNG")
    assert len(png) < 100_000


def test_a_tank_is_drawn_as_it_is():
    """Its outline spans its diameter and its length, and closes."""
    line = outlines.tank(Vessel(4.0, 1.5, 3.0), 10.0, 20.0)
    assert line[0] == line[-1]
    assert (min(x for x, _ in line), max(x for x, _ in line)) == pytest.approx((8.0, 12.0))
    assert (min(y for _, y in line), max(y for _, y in line)) == pytest.approx((18.5, 24.5))


@given(st.lists(st.floats(0.0, 100.0), min_size=1, max_size=12).map(sorted))
def test_labels_are_moved_apart(places):
    """What has room stays, what has not is moved no further than its group needs."""
    moved = apart(places, 2.0)
    assert all(b - a >= 2.0 - 1e-9 for a, b in pairwise(moved))
    assert sum(moved) == pytest.approx(sum(places))
    if all(b - a >= 2.0 for a, b in pairwise(places)):
        assert moved == pytest.approx(places)


def test_every_metre_has_a_row(reference_landing):
    """Shares add up to the whole height; what is inside another element has none."""
    rows = tables.metres(reference_landing)
    assert sum(row.share for row in rows if row.share) == pytest.approx(1.0)
    assert {row.element.split(",")[0] for row in rows if row.share is None} == {
        "Lander descent stage",
        "Lander ascent stage",
    }


def test_posts_lift_the_stack_towards_the_door(reference_landing):
    """Drawn from the stack's foot, the deck is below it and the door's lintel lower by as much."""
    raised = side_view.of(reference_landing.change("launch_site.pad.post_height", "2 m"))
    door = named(raised, "assembly-hall door")
    assert (min(door["y"]), max(door["y"])) == (-2.0, 100.0)
    assert min(y for y in named(raised, "pad")["y"] if y is not None) == -2.0


def test_a_site_without_a_door_is_drawn(reference_landing):
    """Nothing is drawn that is not stated, and the words say so."""
    gone = {f"launch_site.pad.{key}": None for key in ("door_height", "door_width")}
    free = side_view.of(reference_landing.change(gone))
    assert not named(free, "assembly-hall door")["y"]
    assert "No assembly-hall door is stated" in free.summary


def test_pad_table(reference_landing):
    """What is left is limit less stack; what is not limited is blank."""
    frame = stack.pad(SimpleNamespace(scenario=reference_landing)).frame.set_index("limit")
    assert frame.loc["assembly-hall door, height with posts [m]", "left"] == pytest.approx(0.7)
    assert frame.loc["launch platform, width of the foot [m]"].isna()["allowed"]
    assert frame.loc["flame deflector, lift-off thrust [MN]", "stack"] > 20.0
