"""Answers of learners: right, by how much off, and which slip leads there."""

from __future__ import annotations

import numpy as np
import pytest

from mplan.lessons.answers import Question, Slip, judged

SPEED = Question("speed", "km/s", 7669.0, (Slip("the radius is left out", 31_553.0),))
SHARE = Question("fraction", "", 0.0374)


@pytest.mark.parametrize("answer", [7669, 7670.5, np.float64(7669.0), "7.67 km/s", "27600 km/h"])
def test_right_in_any_unit(answer):
    """A bare number is SI; a text has its unit; half a per cent is allowed."""
    assert judged(answer, SPEED).right is True


def test_dots_are_no_answer():
    said = judged(..., SPEED)
    assert said.right is None
    assert "Not answered yet: replace the dots" in said.text


@pytest.mark.parametrize(
    ("answer", "off", "slip"),
    [
        (31_553.0, "4.1 times too large", "the radius is left out"),
        (7.669, "1,000 times too small", "kilometres are taken for metres"),
        ("7669 km/s", "1,000 times too large", "metres are taken for kilometres"),
        (-7669.0, "of the wrong sign", "wrong sign"),
        (3834.5, "2 times too small", "divided by two"),
        (0.0, "zero, which it cannot be", "No common slip"),
        (7000.0, "8.7 % too small", "No common slip"),
    ],
)
def test_wrong_by_so_much_and_why(answer, off, slip):
    """How far off, to which side, and the slip, if one leads there; never the right number."""
    said = judged(answer, SPEED)
    assert said.right is False
    assert off in said.text
    assert slip in said.text
    assert "7.669 km/s" not in said.text.replace("-7.669 km/s", "").replace("0.007669 km/s", "")


@pytest.mark.parametrize("answer", ["7.7 kg", "fast", True, float("nan"), None, 1j])
def test_what_is_no_speed_is_refused(answer):
    """One message: what was found, what is accepted."""
    said = judged(answer, SPEED)
    assert said.right is False
    assert "accepted: a number in m/s, or a speed with its unit" in said.text


@pytest.mark.parametrize("answer", [0.0374, "3.74 %", "0.0374"])
def test_shares_have_no_unit(answer):
    assert judged(answer, SHARE).right is True


def test_per_cent_without_its_sign():
    assert "write %" in judged(3.74, SHARE).text


def test_a_slip_that_leads_to_the_right_value_is_none():
    """Where two ways agree within what is allowed, neither is called wrong."""
    same = Question("speed", "m/s", 100.0, (Slip("a slip that does not matter", 100.1),))
    assert judged(100.3, same).right is True
    assert "does not matter" not in judged(101.0, same).text
