"""An escape tower against what can be said in closed form."""

from __future__ import annotations

from math import atan2, inf, log, pi

import pytest

from mplan.physics.climb import escape
from mplan.physics.climb.escape import EscapeStart, Tower
from mplan.physics.constants import G0

PLAIN = Tower(10e3, 1e3, 600e3, 0.0, 3.0, 0.0, 0.0)
PAD = EscapeStart(0.0, 0.0, pi / 2.0, None)


def test_straight_up_without_air():
    """Speed and height at burn-out are the rocket equation's, less gravity; then a free throw."""
    rows = escape.fly_escape(PLAIN, PAD)
    end = next(row for row in rows if row.t == pytest.approx(3.0))
    exhaust = 600e3 * 3.0 / 1e3
    speed = exhaust * log(10.0 / 9.0) - G0 * 3.0
    height = exhaust * 3.0 * (1.0 - 9.0 * log(10.0 / 9.0)) - G0 * 4.5
    assert end.up_speed == pytest.approx(speed, rel=1e-6)
    assert end.up == pytest.approx(height, rel=1e-6)
    top = max(row.up for row in rows)
    assert top == pytest.approx(height + speed**2 / (2.0 * G0), abs=0.5)


def test_all_propellant_is_spent_with_a_tail_off():
    """The thrust fades evenly; its integral is what the propellant was spent for."""
    fading = PLAIN._replace(tail_off=2.0)
    assert [fading.level(t) for t in (0.0, 2.9, 4.0, 5.0, 9.0)] == [1.0, 1.0, 0.5, 0.0, 0.0]
    assert fading.burned(5.0) == fading.burned(9.0) == pytest.approx(1e3)
    assert fading.burned(3.0) == pytest.approx(750.0)
    step = (fading.burned(4.0001) - fading.burned(3.9999)) / 2e-4
    assert step == pytest.approx(0.5 * 1e3 / 4.0, rel=1e-6)


def test_side_thrust_leads_aside():
    """While it burns, the path without air leads aside as the thrust less the weight points."""
    side = PLAIN._replace(side=60e3)
    end = next(row for row in escape.fly_escape(side, PAD) if row.t == pytest.approx(3.0))
    assert atan2(end.along, end.up + G0 * 4.5) == pytest.approx(atan2(60e3, 600e3), rel=1e-6)
    assert end.aside == pytest.approx(end.along, rel=1e-9)
    assert escape.fly_escape(PLAIN, PAD)[-1].aside == pytest.approx(0.0, abs=1e-9)


def test_drag_holds_it_back():
    """At 450 m/s near 12 km drag takes its share of the pull, and of the distance."""
    fast = EscapeStart(12e3, 450.0, 0.9, 0.0)
    draggy = PLAIN._replace(drag_area=8.8)
    drag = 0.5 * 0.3119 * 450.0**2 * 8.8  # standard density at 12 km
    assert escape.separation_acceleration(PLAIN, fast) == pytest.approx(60.0)
    assert escape.separation_acceleration(draggy, fast) == pytest.approx(
        60.0 - drag / 10e3, rel=1e-3
    )
    away = [escape.fly_escape(each, fast, 3.0)[-1].away for each in (PLAIN, draggy)]
    assert away[1] < 0.8 * away[0]


def test_a_stack_that_runs_on_is_left_more_slowly():
    """Against a stack that feels 15 m/s2 the distance is that much less, without air."""
    still, running = (
        escape.fly_escape(PLAIN, EscapeStart(9e4, 1e3, 0.3, a), 2.0)[-1] for a in (0.0, 15.0)
    )
    assert still.away - running.away == pytest.approx(15.0 * 2.0, rel=1e-6)
    assert escape.separation_acceleration(PLAIN, EscapeStart(9e4, 1e3, 0.3, 70.0)) < 0.0


def test_steps_are_fine_enough():
    """Half the steps move the highest point by less than a metre."""
    tower = Tower(9870.0, 1400.0, 658e3, 70e3, 3.2, 2.0, 8.8)
    coarse = escape.fly_escape(tower, PAD)[-1].up
    before = escape.STEP, escape.COASTING
    try:
        escape.STEP, escape.COASTING = before[0] / 2.0, before[1] / 2.0
        fine = escape.fly_escape.__wrapped__(tower, PAD)
    finally:
        escape.STEP, escape.COASTING = before
    assert max(row.up for row in fine) == pytest.approx(coarse, abs=1.0)


def test_the_shock_overtakes():
    """Earlier explosions overtake nearer and harder; none without TNT or in time enough."""
    rows = escape.fly_escape(PLAIN, PAD)
    soon, later = (escape.shock_arrival(rows, 60.0, t, 2e5, 101325.0) for t in (0.5, 3.0))
    assert soon.distance < later.distance
    assert soon.overpressure > 2.0 * later.overpressure
    assert escape.shock_arrival(rows, 60.0, 1.0, 0.0, 101325.0) is None
    assert escape.shock_arrival(rows, 60.0, inf, 2e5, 101325.0) is None
