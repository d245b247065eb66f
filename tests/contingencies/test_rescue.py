"""Every rescue by the ship of an ascent stage that cannot climb further."""

from __future__ import annotations

import pytest

from mplan.contingencies import rescue
from mplan.physics import constants as c


def test_no_rendezvous_no_rescue(orbital_plan):
    """A mission that lands nobody has nobody to rescue."""
    assert rescue.every(orbital_plan.flight) == []


def test_rescues_from_each_place(landing_plan):
    """Higher up it costs less to rescue; what is left is what the trip does not take."""
    ways = rescue.every(landing_plan.flight)
    places = list(dict.fromkeys(way.stranded.when for way in ways))
    assert places == ["after insertion", "after the raising burn", "after the coelliptic burn"]
    cheapest = [min(x.total for x in ways if x.stranded.when == place) for place in places]
    assert cheapest[0] > cheapest[1] + 20.0
    assert cheapest[1] == pytest.approx(cheapest[2], abs=5.0)
    for way in ways:
        unspent = rescue.undisturbed(landing_plan.flight) - way.total
        assert way.left == pytest.approx(unspent, abs=15.0)  # the mass differs, and 6 m/s allowed
        assert way.propellant > 0.0


def test_rescue_leaves_what_the_budget_has(landing_plan):
    """With nothing spent, what is left is the last burn's margin and what is reserved."""
    last = [x for x in landing_plan.burns if x.element == "service_module"][-1]
    left = rescue.undisturbed(landing_plan.flight)
    assert left == pytest.approx(last.margin + last.reserved, abs=0.1)


def test_rescue_goes_down_and_comes_back(landing_plan):
    """From above, to the insertion orbit, and by two raising burns to the circle again."""
    flown = landing_plan.flight.end.rendezvous
    stranded = next(rescue.strandings(flown))
    found = rescue.adequate(landing_plan.flight, stranded)
    assert found.meeting.active.t == pytest.approx(flown.meeting.active.t, abs=1e-3)
    assert found.meeting.terminal.elevation < 0.0
    assert found.meeting.lowest > c.R_MOON + 15e3
    orbits = landing_plan.scenario.orbits
    low = c.R_MOON + orbits.ascent_perilune
    rise = c.R_MOON + orbits.lunar_altitude - low
    assert 0.9 < found.back.total / (c.MU_MOON**0.5 * rise / (4.0 * low**1.5) * 1.27) < 1.1
    assert found.left == pytest.approx(
        rescue.undisturbed(landing_plan.flight) - found.total, abs=12.0
    )
