"""How near a jump is, on margins made up: found, closed in on, told from curves and bends."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from mplan.studies.sensitivities import jumps

BURN = "translunar injection"


def flown(amount, margin, engines_out=0):
    """As much of a flight as a jump is found by."""
    marks = [SimpleNamespace(what="engine shut down", name="core_stage")] * engines_out
    climb = SimpleNamespace(track=SimpleNamespace(events=marks))
    end = SimpleNamespace(ledger=SimpleNamespace(starts={("core_stage", "main"): 1}))
    happened = jumps.happenings(SimpleNamespace(climb=climb, end=end))
    return jumps.FlownStep(amount, {BURN: margin(amount)}, happened)


def found(margin, step=1.0, sides=(1.0, -1.0), engines_out=lambda amount: 0, beyond=100.0):
    """Jumps within reach, and which further amounts were flown for them."""
    asked = []

    def fly(amount):
        asked.append(amount)
        return flown(amount, margin, engines_out(amount)) if abs(amount) < beyond else None

    amounts = [0.0, *(sign * times * step for sign in sides for times in (1.0, 2.0))]
    known = [flown(x, margin, engines_out(x)) for x in amounts]
    return list(jumps.nearest(step, known, fly)), asked


@pytest.mark.parametrize("at", [0.3, 1.37, 2.53, 5.9, -0.01, -4.2])
def test_a_jump_is_closed_in_on(at):
    """Its place to a thirty-second of the flights it lies between, its size as it is."""
    (jump,), _ = found(lambda x: 40.0 + 3.0 * x + 0.4 * x * x - 150.0 * (x / at > 1.0))
    assert abs(jump.near) < abs(at) < abs(jump.far)
    assert abs(jump.far - jump.near) <= 4.0 / 2**jumps.HALVINGS
    assert jump.by == pytest.approx(-150.0, abs=1.0)  # a slope of some m/s over the bracket
    assert jump.burn == BURN


def test_the_nearest_on_either_side():
    def margin(x):
        return 10.0 * (x > 0.7) + 20.0 * (x > 4.0) - 30.0 * (x < -1.53)

    up, down = found(margin)[0]
    assert (up.near < 0.7 < up.far, up.by) == (True, pytest.approx(10.0))
    assert (down.far < -1.53 < down.near, down.by) == (True, pytest.approx(-30.0))


@pytest.mark.parametrize(
    "margin",
    [
        lambda x: 40.0 + 3.0 * x,
        lambda x: 0.5 * x * x,
        lambda x: 0.05 * x**3,
        lambda x: min(0.0, 4.0 * (1.3 - x)),
    ],
    ids=["line", "curve", "cubic", "bend"],
)
def test_what_is_smooth_or_bent_is_no_jump(margin):
    assert found(margin)[0] == []


def test_what_is_less_than_a_metre_per_second_is_not_told():
    assert found(lambda x: 0.9 * (x > 1.5))[0] == []


def test_one_side_alone():
    """Where less cannot be flown, the other side is looked at all the same."""
    (jump,), asked = found(lambda x: -5.0 * (x > 1.1), sides=(1.0,))
    assert jump.near < 1.1 < jump.far
    assert min(asked) > 0.0


def test_beyond_what_can_be_flown():
    """A change too large to be flown hides no jump that is nearer."""
    (jump,), asked = found(lambda x: -5.0 * (x > 1.1), beyond=5.0)
    assert jump.near < 1.1 < jump.far
    assert {6.0, -6.0} <= set(asked)


def test_the_cause_is_what_happens_more_often():
    (jump,), _ = found(lambda x: -5.0 * (x > 1.1), engines_out=lambda x: 2 + (x > 1.1))
    assert jump.cause == "1 more: engine shut down, core stage"
    (jump,), _ = found(lambda x: -5.0 * (x > 1.1), engines_out=lambda x: 1 - (x > 1.1))
    assert jump.cause == "1 fewer: engine shut down, core stage"
    (jump,), _ = found(lambda x: -5.0 * (x > 1.1))
    assert jump.cause == ""
