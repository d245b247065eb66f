"""The rendezvous within a mission: its budget, its clock, and what it leaves on the state."""

from __future__ import annotations

import numpy as np
import pytest

import mplan
from mplan.flight.rendezvous import PLANNED, lead
from mplan.flight.walk import on_pad
from mplan.physics import constants as c
from mplan.physics.rendezvous.meeting import RAISING, TERMINAL


def burn(plan):
    return next(x for x in plan.burns if x.leg == "rendezvous")


@pytest.fixture(scope="module")
def direct(reference_landing):
    return mplan.fly(reference_landing.change("rendezvous.schedule", "direct"))


def test_the_budget_is_the_sum_of_the_burns(landing_plan):
    """Impulse and losses are the flown burns and the two allowances, and nothing is estimated."""
    record, flown = burn(landing_plan), landing_plan.flight.end.rendezvous
    allowed = landing_plan.scenario.rendezvous
    assert record.estimate == ""
    assert record.required == pytest.approx(
        sum(x.delta_v for x in flown.burns) + allowed.midcourse + allowed.docking
    )
    assert record.losses["midcourse"] == allowed.midcourse
    assert record.losses["docking"] == allowed.docking
    assert flown.misfit == ""


def test_the_clock_runs_to_contact(landing_plan):
    """The dock follows insertion by the time of the rendezvous, and no coast comes between."""
    flown, record = landing_plan.flight.end.rendezvous, burn(landing_plan)
    dock = next(x for x in landing_plan.timeline if x.kind == "dock" and x.elapsed > record.elapsed)
    assert dock.elapsed - record.elapsed == pytest.approx(flown.meeting.duration, abs=1e-3)
    assert flown.meeting.active.t - landing_plan.flight.end.lift_off == pytest.approx(
        record.elapsed, abs=1e-3
    )


def test_each_burn_takes_its_propellant(landing_plan):
    """By the rocket equation the burns' propellant is the record's, allowances apart."""
    flown, record = landing_plan.flight.end.rendezvous, burn(landing_plan)
    engine = landing_plan.scenario.elements[record.element].engines[record.engine]
    spent = record.mass * -np.expm1(-flown.meeting.total / (engine.isp_vacuum * c.G0))
    assert sum(x.propellant for x in flown.burns) == pytest.approx(spent)
    force = engine.count * engine.thrust_vacuum
    first = flown.burns[0]
    assert first.duration == pytest.approx(
        first.propellant * engine.isp_vacuum * c.G0 / force, rel=1e-9
    )


def test_the_ship_is_where_it_should_be(landing_plan):
    """Lift-off is timed so that the ship is as far ahead as wanted, to half a degree."""
    flown = landing_plan.flight.end.rendezvous
    assert flown.planned == lead(landing_plan.scenario)
    assert flown.phase == pytest.approx(flown.planned, abs=0.5 * c.DEG)
    waited = flown.meeting.terminal.t - next(x for x in flown.meeting.steps if x.name != RAISING).t
    assert waited == pytest.approx(landing_plan.scenario.rendezvous.coast_time, abs=8 * 60.0)


def test_a_direct_one_is_shorter(landing_plan, direct):
    """An hour and a half instead of three and a half, for some metres a second more."""
    slow, fast = landing_plan.flight.end.rendezvous, direct.flight.end.rendezvous
    assert fast.meeting.duration < 0.5 * slow.meeting.duration
    assert fast.burns[0].name == TERMINAL
    assert slow.meeting.total + 3.0 < fast.meeting.total < slow.meeting.total + 30.0


def test_a_phase_that_does_not_fit(reference_landing):
    """The burns are then those with the ship where it is wanted, and say so."""
    plan = mplan.fly(reference_landing.change("lunar_ascent.after_pass", "-4 min"))
    flown = plan.flight.end.rendezvous
    assert flown.misfit.startswith("it has passed the target already")
    assert burn(plan).estimate == PLANNED
    assert flown.meeting.phase == pytest.approx(flown.planned, abs=1e-6)
    assert flown.phase < flown.planned - 10.0 * c.DEG


def test_a_plane_left_to_it(reference_landing):
    """What the ascent leaves of the angle to the ship's plane is turned and paid for here."""
    plan = mplan.fly(reference_landing.change("lunar_ascent.plane", "left to the rendezvous"))
    record = burn(plan)
    assert record.losses["plane"] > 1.0
    assert abs(plan.flight.end.rendezvous.meeting.track.across[-1]) < 1.0


def test_nothing_is_ready_before_the_flight(reference_landing):
    """The state on the pad holds no rendezvous."""
    assert on_pad(reference_landing).rendezvous is None


def test_every_burn_of_it_is_a_start(landing_plan):
    """A row of burns flown as one leg starts its engine as often as there are burns."""
    record, flown = burn(landing_plan), landing_plan.flight.end.rendezvous
    assert record.starts == len(flown.burns) > 1
    before = record.at_ignition.ledger.starts.get((record.element, record.engine), 0)
    after = record.at_cut_off.ledger.starts[record.element, record.engine]
    assert (record.start, after - before) == (before + 1, len(flown.burns))
