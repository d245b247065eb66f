"""The entry of a whole mission: what is carried on, and what is missing when it is not flown."""

from __future__ import annotations

import numpy as np
import pytest

import mplan
from mplan.flight.entry import DOWNRANGE, NOT_FLOWN
from mplan.flight.steps import interface_of
from mplan.physics import constants as c


def test_every_mission_ends_through_the_air(any_plan):
    """Landing, orbit and flyby come down as flown, where their returns were timed for."""
    entry, splash = any_plan.flight.end.entry, any_plan.flight.splash
    assert splash == entry.splash
    assert splash.estimate == ""
    assert not any_plan.timeline[-1].estimate
    assert entry.flown.range == pytest.approx(DOWNRANGE, abs=1e3)
    interface = interface_of(any_plan.flight.end)
    assert entry.t == interface.t
    after = entry.drogue_time + entry.descent.duration
    assert splash.t == pytest.approx(interface.t + after)
    assert any_plan.flight.duration == pytest.approx(splash.t - any_plan.flight.end.lift_off)


def test_the_track_is_of_one_entry(landing_plan):
    """Arrays of one length that begin at the interface and end at the drogues."""
    entry = landing_plan.flight.end.entry
    track = entry.track
    assert {len(each) for each in track.values()} == {len(entry.flown.rows)}
    assert track["altitude"][0] == pytest.approx(c.ENTRY_INTERFACE, abs=50.0)
    assert track["altitude"][-1] == pytest.approx(entry.stop, abs=1.0)
    assert track["downrange"][0] == pytest.approx(0.0, abs=1.0)
    assert track["downrange"][-1] == pytest.approx(entry.flown.range)
    assert entry.angle == pytest.approx(landing_plan.scenario.orbits.entry_angle, abs=1e-6)
    assert np.max(track["load"]) / c.G0 == pytest.approx(entry.peak_load)
    assert entry.heat.load < entry.heat.peak * entry.drogue_time
    assert entry.corridor.holds(entry.angle)


def test_the_weight_is_the_crew_module_s(landing_plan):
    """Crew, samples and what is left of its supplies are aboard; nothing else is."""
    entry = landing_plan.flight.end.entry
    moment = next(x for x in landing_plan.timeline if x.kind == "enter")
    assert moment.craft == ("crew_module",)
    assert entry.mass == pytest.approx(moment.mass)
    area = np.pi / 4.0 * 4.0**2
    assert entry.vehicle.ballistic == pytest.approx(entry.mass / (1.3 * area))


def test_the_planned_place_lies_between_the_ends_of_the_reach(landing_plan):
    """The footprint runs along the ground track on both sides of the splash."""
    entry = landing_plan.flight.end.entry
    short, long = (place.longitude for place in entry.footprint)
    assert short < entry.splash.longitude < long


@pytest.mark.parametrize("table", ["aeroshell", "parachutes"])
def test_without_its_tables_nothing_is_made_up(reference_landing, table):
    """The splash is an estimate and says so; there is no entry."""
    plan = mplan.fly(reference_landing.change(f"elements.crew_module.{table}", None))
    assert plan.flight.end.entry is None
    assert plan.flight.splash.estimate == NOT_FLOWN
    assert plan.timeline[-1].estimate


def test_an_entry_that_skips_has_no_descent(reference_landing):
    """Too shallow to be held: it stops where it leaves the air, and the splash is an estimate."""
    plan = mplan.fly(reference_landing.change("orbits.entry_angle", "-4.6 deg"))
    entry = plan.flight.end.entry
    assert not entry.lands
    assert plan.flight.splash.estimate.startswith("the entry skips out")
    assert not plan.closes


def test_a_steeper_entry_is_harder(reference_landing):
    """Half a degree more is worth more than one g."""
    steeper = mplan.fly(reference_landing.change("orbits.entry_angle", "-7 deg")).flight.end.entry
    assert steeper.peak_load > mplan.fly(reference_landing).flight.end.entry.peak_load + 1.0
    assert steeper.flown.range == pytest.approx(DOWNRANGE, abs=1e3)
