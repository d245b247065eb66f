"""Sliders together, without a mission: steps, marks, whole numbers, what is said."""

from __future__ import annotations

import pytest

from mplan.show.panels.board import Board
from mplan.show.panels.controls import MOVED
from mplan.show.panels.knobs import LAUNCH_DAY, Choice, Count, Knob, SwitchedKnob

HEIGHT = Knob("a", "height", "km", 1e3, 0.0, 100.0, 5.0)
ENGINES = Count("b", "engines", "", 1.0, 1.0, 9.0, 1.0)
SIDE = Choice("c", "side", ("left", "right"))
PLACE = SwitchedKnob("d", "splash", "deg", 1.0, -180.0, 180.0, 5.0)
DAY = Knob(LAUNCH_DAY, "launch day, later by", "d", 1.0, -15.0, 15.0, 1.0)
HOME = {HEIGHT: 20.0, ENGINES: 5.0, SIDE: "left", PLACE: None, DAY: 0.0}


@pytest.fixture
def moves():
    return []


@pytest.fixture
def board(moves):
    made = Board(HOME.items(), lambda: moves.append(made.values))
    return made


def marked(board) -> list[str]:
    shown = [x for x in board.controls.values() if x.reset.layout.visibility == "visible"]
    assert all((MOVED in x._dom_classes) == (x in shown) for x in board.controls.values())
    return [x.knob.key for x in shown]


def test_undo_and_redo_are_one_move_each(board, moves):
    """A step back sets every control, and tells of it once."""
    board.controls["a"].slider.value = 30.0
    board.controls["c"].value = "right"
    board.undo.click()
    assert (board.values["a"], board.values["c"]) == (30.0, "left")
    board.undo.click()
    assert board.values == {knob.key: value for knob, value in HOME.items()}
    board.redo.click()
    assert board.values["a"] == 30.0
    assert len(moves) == 5


def test_buttons_are_off_where_there_is_nothing_to_do(board):
    assert (board.undo.disabled, board.redo.disabled, board.back.disabled) == (True, True, True)
    board.controls["a"].slider.value = 30.0
    assert (board.undo.disabled, board.redo.disabled, board.back.disabled) == (False, True, False)
    board.undo.click()
    assert (board.undo.disabled, board.redo.disabled, board.back.disabled) == (True, False, True)


def test_moved_sliders_are_marked_and_go_back_alone(board):
    """Each that was moved has its own way back, which the others do not feel."""
    assert marked(board) == []
    board.controls["a"].slider.value = 30.0
    board.controls["b"].box.value = 6.0
    board.controls["d"].switch.value = True
    assert marked(board) == ["a", "b", "d"]
    assert board.controls["a"].reset.tooltip == "height: back to 20 km"
    board.controls["a"].reset.click()
    board.controls["d"].reset.click()
    assert marked(board) == ["b"]
    assert (board.values["a"], board.values["d"], board.values["b"]) == (20.0, None, 6.0)


def test_marks_follow_what_is_compared_with(board):
    """With another state to compare with, a slider goes back to that."""
    board.controls["a"].slider.value = 30.0
    board.compare(board.values)
    assert marked(board) == []
    board.controls["a"].slider.value = 20.0
    assert marked(board) == ["a"]
    board.controls["a"].reset.click()
    assert board.values["a"] == 30.0


@pytest.mark.parametrize("key", ["b", LAUNCH_DAY])
def test_whole_numbers_snap_and_it_is_said(board, moves, key):
    """A box of whole numbers shows the one that is taken, flies it once, and says so."""
    board.controls[key].box.value = 2.4
    assert board.controls[key].box.value == 2.0
    assert board.controls[key].slider.value == 2.0
    assert [values[key] for values in moves] == [2.0]
    assert "whole numbers only, 2 for 2.4" in board.trouble.value


def test_a_slider_that_is_switched_off_says_so(board, moves):
    """Moved while its switch is off, it names the switch; nothing is told to move."""
    board.controls["d"].control.slider.value = 50.0
    assert "splash is switched off: the switch beside its name turns it on" in board.trouble.value
    assert moves == []


def test_what_is_refused_has_a_place_of_its_own(board):
    """The place for it is there before anything stands in it, and is cleared again."""
    place = next(x for x in board.children if board.trouble in getattr(x, "children", ()))
    assert place.layout.min_height == "44px"
    board.refuse("Too <high>.")
    assert "Too &lt;high&gt;. Showing the last valid result." in board.trouble.value
    board.say("")
    assert board.trouble.value == ""


def test_a_slider_that_is_drawn_moves_nothing():
    """A browser answers with a step added up in binary; the box keeps what it was given."""
    time = Knob("t", "since lift-off", "h", 3600.0, 0.0, 243.8, 0.1)
    moves: list[object] = []
    board = Board([(time, 121.903)], lambda: moves.append(None))
    slider = board.controls["t"].slider
    assert slider.value == 121.9
    slider.value = 121.89999999999998
    assert (board.values["t"], moves) == (121.903, [])
    slider.value = 121.99999999999998
    assert (board.values["t"], moves) == (122.0, [None])
