"""Keys of control and escape: optional, with units, refused in one line where they will not do."""

from __future__ import annotations

import pytest

from mplan.physics.constants import DEG
from mplan.scenario import ScenarioError


def test_left_out_they_have_their_defaults(reference_landing):
    """A file without [control] and [aborts] has the rules of thumb."""
    assert reference_landing.control.thrust_misalignment == pytest.approx(0.25 * DEG)
    assert reference_landing.control.docking_translation == 0.02
    assert reference_landing.control.margin_factor == 1.25
    assert reference_landing.elements["crew_module"].fins is None
    assert reference_landing.aborts.peak_load == 16.0
    assert reference_landing.elements["crew_module"].escape is None


def test_stated_they_are_read_in_si(reference_landing):
    """Angular accelerations, pressures and angles arrive in SI."""
    changed = reference_landing.change(
        {
            "control.attitude_hold": "1 deg/s2",
            "control.separation_rate": "2 deg/s",
            "elements.first_stage.fins": {"count": 4, "area": "60000 cm2", "span": "2 m"},
            "elements.escape_tower.escape.cant": "20 deg",
        }
    )
    assert changed.control.attitude_hold == pytest.approx(DEG)
    assert changed.control.separation_rate == pytest.approx(2.0 * DEG)
    assert changed.elements["first_stage"].fins.area == pytest.approx(6.0)
    assert changed.elements["first_stage"].fins.deflection == 0.0
    assert changed.elements["escape_tower"].escape.cant == pytest.approx(20.0 * DEG)


@pytest.mark.parametrize(
    ("key", "value", "complaint"),
    [
        ("control.powered_steering", 0.2, r"found 0\.2, a bare number; accepted: an angular accel"),
        (
            "control.docking_translation",
            "2 m",
            'found "2 m", of another dimension; accepted: an accel',
        ),
        ("control.gain", "1 deg/s2", "unknown key"),
        ("control.margin_factor", 0.9, "found 0.9"),
        ("control.turn_time", "0 s", "too small; accepted: a time"),
        ("elements.first_stage.fins", {"count": 2, "area": "6 m2", "span": "2 m"}, "found 2"),
        ("elements.first_stage.active_guidance", "yes", "found"),
        ("aborts.safe_orbit", "90 km", "too small; accepted: a length with its unit, from 120 km"),
        ("elements.escape_tower.escape.cant", "70 deg", "too large; accepted: an angle"),
        ("elements.escape_tower.escape.thrust", "0 N", "too small; accepted: a force"),
        ("events.0.control", "nobody", "nobody"),
        ("events.0.control", "lander_bay", 'has not active_guidance = true; accepted: "first_st'),
    ],
)
def test_refusals_say_why(reference_landing, key, value, complaint):
    """What was found and what is accepted, in one line."""
    with pytest.raises(ScenarioError, match=complaint):
        reference_landing.change(key, value)
