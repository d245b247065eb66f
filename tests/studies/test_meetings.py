"""Schedules of a rendezvous side by side."""

from __future__ import annotations

from itertools import pairwise

import pytest

import mplan
from mplan.physics.constants import DEG, MINUTE
from mplan.studies import meetings


def test_each_schedule_costs_what_a_flight_of_it_does(reference_landing, landing_plan):
    """The mission flown with each schedule burns and lasts as the study says.

    The lift-off that follows from the lead puts the ship there to some tenths of a degree: the
    coelliptic one then waits longer or shorter, 0.2 deg being 3 min; a direct one pays, 3 m/s.
    The ship's orbit, a kilometre off the circle that the lead is reckoned for, is worth a minute.
    """
    for option in meetings.schedule_options(landing_plan)[:3]:
        keys = {
            "rendezvous.schedule": option.schedule,
            "rendezvous.revolutions": option.revolutions,
        }
        plan = mplan.fly(reference_landing.change(keys))
        flown = plan.flight.end.rendezvous
        record = next(x for x in plan.burns if x.leg == "rendezvous")
        off = flown.phase - flown.planned
        assert flown.planned == option.lead
        assert abs(off) < 0.4 * DEG
        wait = 14.6 * MINUTE * off / DEG if option.schedule == "coelliptic" else 0.0
        assert flown.meeting.duration == pytest.approx(option.duration + wait, abs=90.0)
        assert record.required == pytest.approx(option.total, abs=4.0)


def test_more_revolutions_want_the_ship_further_ahead(landing_plan):
    """17 deg a revolution, and a later lift-off, at the same cost."""
    _, *slow = meetings.schedule_options(landing_plan)
    gained = [b.lead - a.lead for a, b in pairwise(slow)]
    assert gained == pytest.approx([17.1 * DEG] * 2, abs=0.1 * DEG)
    assert slow[0].total == pytest.approx(slow[2].total, abs=0.1)
    assert slow[0].later < slow[1].later < slow[2].later
    assert all(x.propellant > 0.0 for x in slow)


def test_no_rendezvous_no_options(orbital_plan):
    """A mission that lands nobody has no schedules."""
    assert meetings.schedule_options(orbital_plan) == []
