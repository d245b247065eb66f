"""Into the circular lunar orbit, and what heights at the Moon are counted from."""

from __future__ import annotations

import numpy as np
import pytest

import mplan
from mplan import ScenarioError
from mplan.physics import constants as c
from mplan.scenario import heights
from mplan.show import columns
from mplan.show.moon.tables import facts
from mplan.vehicle.ledger import main_engine

CIRCLE = "lunar-orbit circularisation"


def burn_of(plan, leg):
    return next(x for x in plan.burns if x.leg == leg)


@pytest.fixture(scope="module", params=["110 km", "110.2 km"])
def at_once(request, reference_landing, landing_plan):
    """A capture that ends in the circle, or 0.04 m/s off it."""
    changed = reference_landing.change("orbits.capture_apolune", request.param)
    return mplan.fly(changed, like=landing_plan)


def test_a_circle_is_not_made_round_again(at_once):
    """No burn, no propellant and no start; the burn before and the ones after keep theirs."""
    burn = burn_of(at_once, CIRCLE)
    assert (burn.required, burn.propellant, burn.duration) == (0.0, 0.0, 0.0)
    assert not burn.lit
    assert burn.settling is None
    assert burn.note == "not flown, no start used: the orbit is circular already"
    assert columns.started(burn) == "not lit"


def test_it_uses_no_start(at_once, landing_plan):
    """One start less than by way of an ellipse, of the engine and of the settling thrusters."""
    name, _ = main_engine(at_once.scenario.elements["service_module"])
    was, now = (x.flight.end.ledger.starts for x in (landing_plan, at_once))
    assert now["service_module", name] == was["service_module", name] - 1
    assert now["service_module", "thrusters"] == was["service_module", "thrusters"] - 1


def test_it_is_told(at_once):
    """As information; a restart interval is not asked of a burn that is not flown."""
    told = [x for x in at_once.findings if x.event == burn_of(at_once, CIRCLE).name]
    assert [x.severity for x in told] == ["for information"]
    assert "the orbit is circular already" in told[0].text


def test_an_ellipse_is_made_round(landing_plan):
    """By way of 310 km the burn is that between an ellipse and a circle, to 0.1 m/s (J2)."""
    burn = burn_of(landing_plan, CIRCLE)
    low, high = c.R_MOON + 110e3, c.R_MOON + 310e3
    slow = np.sqrt(c.MU_MOON / low)
    assert burn.impulse == pytest.approx(slow * (np.sqrt(2.0 * high / (low + high)) - 1.0), abs=0.1)
    assert burn.lit


@pytest.fixture(scope="module")
def high_site(reference_landing):
    """A site 2 km above the sphere."""
    return reference_landing.change("landing_site.elevation", "2 km")


def test_heights_are_counted_from_what_is_said(high_site):
    """15 km above a site at 2 km are 17 km above the sphere: the same flight."""
    site = high_site.change(
        {
            "orbits.heights_above": "site",
            "orbits.descent_perilune": "13 km",
            "orbits.ascent_perilune": "15 km",
            "orbits.ascent_apolune": "83 km",
        }
    )
    assert heights.descent_perilune(site) == heights.descent_perilune(high_site)
    assert heights.ascent_apsides(site) == heights.ascent_apsides(high_site)
    flown, other = mplan.fly(high_site), mplan.fly(site)
    assert other.flight.end.descent.delta_v == flown.flight.end.descent.delta_v
    assert other.flight.end.lunar_ascent.delta_v == flown.flight.end.lunar_ascent.delta_v
    told = "15.0 km above the 1737.4 km sphere, 13.0 km above the site"
    assert facts(flown)["descent perilune"] == facts(other)["descent perilune"] == told


def test_the_descent_does_not_begin_above_the_orbit(high_site):
    """Held against the circular orbit from the same level."""
    high = {"orbits.descent_perilune": "109 km", "orbits.ascent_apolune": "109 km"}
    high_site.change(high)
    with pytest.raises(ScenarioError, match=r"accepted: at most orbits\.lunar_altitude"):
        high_site.change({**high, "orbits.heights_above": "site"})
