"""What the plan says of an insertion that fails."""

from __future__ import annotations

import pytest

import mplan
from mplan.contingencies import failed_insertion
from mplan.physics import constants as c
from mplan.show import failed_insertions, gist


def test_no_insertion_no_failure(flyby_plan):
    """A flyby comes home by itself: there is nothing that could fail at the Moon."""
    assert failed_insertion.of(flyby_plan.flight) is None
    assert not any("insertion fails" in line for line in gist.lines(flyby_plan))


def test_times_count_from_lift_off(landing_plan):
    found = failed_insertion.of(landing_plan.flight)
    end = landing_plan.flight.end
    assert found.perilune == end.outbound.perilune.t - end.lift_off
    assert found.wait == pytest.approx(2.0 * c.HOUR)
    assert found.perigee_after == found.perigee_at - found.perilune
    assert found.home - found.perilune == found.home_after
    assert 60.0 * c.HOUR < found.home_after < found.perigee_after


def test_later_costs_more(reference_landing, landing_plan):
    """The nearer the Moon, the less a correction is."""
    later = mplan.fly(reference_landing.change({"aborts.home_correction": "8 h"}))
    early, late = (failed_insertion.of(x.flight) for x in (landing_plan, later))
    assert late.perigee == early.perigee
    assert late.correction > early.correction


def test_the_line_of_the_brief(landing_plan):
    found = failed_insertion.of(landing_plan.flight)
    line = next(x for x in gist.lines(landing_plan) if x.startswith("if insertion fails"))
    assert f"perigee {found.perigee / 1e3:,.0f} km up" in line
    assert f"{found.correction:.1f} m/s 2 h after perilune lead to entry at -6.40 deg" in line


def test_each_fate_has_words(landing_plan):
    found = failed_insertion.of(landing_plan.flight)
    made = found.__class__(**{**vars(found), "perigee": -120e3, "prograde": False})
    assert "perigee 120 km below ground, against Earth's turn" in failed_insertions.sentence(made)
    gone = {"fate": "leaves Earth", "perigee": None, "perigee_at": None, "correction": None}
    made = found.__class__(**{**vars(found), **gone})
    assert failed_insertions.sentence(made) == (
        "if insertion fails: the arc leaves Earth; no burn 2 h after perilune was found that "
        "leads home"
    )
