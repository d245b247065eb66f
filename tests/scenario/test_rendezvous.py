"""The table [rendezvous]: read in units, defaulted, and refused in words."""

from __future__ import annotations

import pytest

import mplan
from mplan.flight.rendezvous import terms
from mplan.physics.constants import DEG
from mplan.physics.rendezvous.terms import Gate, Terms


def test_defaults_are_those_of_the_physics(reference_landing):
    """A scenario without the table asks for what the physics has by itself."""
    found = terms(reference_landing)
    assert found.schedule == Terms().schedule
    assert found.gates == Terms().gates
    for name in ("height", "elevation", "transfer", "wait", "coast", "station", "docking"):
        assert getattr(found, name) == pytest.approx(getattr(Terms(), name))


def test_what_is_written_is_flown(reference_landing):
    """Units are read, gates put in order and those inside the stop omitted."""
    found = terms(
        reference_landing.change(
            {
                "rendezvous.schedule": "direct",
                "rendezvous.elevation": "24 deg",
                "rendezvous.station_range": "60 m",
                "rendezvous.braking_gates": [
                    {"range": "50 m", "speed": "1 m/s"},
                    {"range": "300 m", "speed": "4 m/s"},
                    {"range": "1 km", "speed": "10 m/s"},
                ],
            }
        )
    )
    assert found.schedule == "direct"
    assert found.elevation == pytest.approx(24.0 * DEG)
    assert found.gates == (Gate(1000.0, 10.0), Gate(300.0, 4.0))


@pytest.mark.parametrize(
    ("key", "value", "text"),
    [
        ("schedule", "quick", 'unknown "quick"; known: "coelliptic", "direct"'),
        ("revolutions", 0, "found 0; accepted: a whole number, at least 1"),
        ("height", "80 km", 'found "80 km", too large; accepted: a length'),
        ("elevation", 26.6, "found 26.6, a bare number; accepted: an angle with its unit"),
        ("transfer_angle", "180 deg", 'found "180 deg", too large; accepted: an angle'),
        ("braking_gates", [], "found an empty list; accepted: a list with at least one entry"),
        ("braking_gates", [{"range": "1 km"}], "braking_gates.0.speed: missing; write for example"),
        ("dock", "3 m/s", "unknown key; did you mean"),
    ],
)
def test_refusals(reference_landing, key, value, text):
    """Each says the key, what was found and what is accepted."""
    with pytest.raises(mplan.ScenarioError, match=text):
        reference_landing.change(f"rendezvous.{key}", value)


def test_not_for_a_mission_that_does_not_land(orbital_plan):
    """Other profiles have no use for the table."""
    scenario = orbital_plan.scenario
    with pytest.raises(mplan.ScenarioError, match=r"not used by the profile .*: it does not land"):
        scenario.change("rendezvous", {"schedule": "direct"})
