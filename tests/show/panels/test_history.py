"""Undo and redo: a run of moves of one slider is one step."""

from __future__ import annotations

import pytest

from mplan.show.panels.history import History


class Clock:
    """Seconds that pass when a test says so."""

    now = 0.0

    def __call__(self):
        return self.now


@pytest.fixture
def clock():
    return Clock()


@pytest.fixture
def history(clock):
    return History({"a": 0.0, "b": 0.0}, 0.6, clock)


def test_a_run_is_one_step(history, clock):
    """Moves of one slider close together are undone together."""
    for value in (1.0, 2.0, 3.0):
        clock.now += 0.1
        history.note({"a": value, "b": 0.0})
    assert history.undo() == {"a": 0.0, "b": 0.0}
    assert not history.undoes
    assert history.redo() == {"a": 3.0, "b": 0.0}
    assert not history.redoes


def test_a_rest_or_another_slider_begins_a_step(history, clock):
    """After a rest, and with another slider, a step of its own begins."""
    history.note({"a": 1.0, "b": 0.0})
    clock.now += 0.7
    history.note({"a": 2.0, "b": 0.0})
    history.note({"a": 2.0, "b": 5.0})
    assert [history.undo()["b"], history.undo()["a"], history.undo()["a"]] == [0.0, 1.0, 0.0]


def test_a_run_back_to_its_begin_is_no_step(history):
    """A slider dragged away and back leaves nothing to undo, and spoils no earlier step."""
    history.note({"a": 1.0, "b": 0.0})
    history.note({"a": 1.0, "b": 1.0})
    history.note({"a": 1.0, "b": 0.0})
    history.note({"a": 1.0, "b": 2.0})
    assert history.undo() == {"a": 1.0, "b": 0.0}
    assert history.undo() == {"a": 0.0, "b": 0.0}
    assert not history.undoes


def test_a_move_after_undo_forgets_what_was_undone(history):
    """A new move takes the place of the steps that were undone."""
    history.note({"a": 1.0, "b": 0.0})
    history.undo()
    history.note({"a": 2.0, "b": 0.0})
    assert not history.redoes
    assert history.redo() == {"a": 2.0, "b": 0.0}
    assert history.undo() == {"a": 0.0, "b": 0.0}


def test_what_moves_several_sliders_is_a_step(history):
    """All sliders taken back at once are one step, however soon after another."""
    history.note({"a": 1.0, "b": 1.0})
    history.note({"a": 0.0, "b": 0.0})
    assert history.undo() == {"a": 1.0, "b": 1.0}
