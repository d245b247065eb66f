"""State of charge, loads by phase and radiators: by hand, and by the flight's own books."""

from __future__ import annotations

from math import pi, sqrt

import numpy as np
import pytest

import mplan
from mplan.checks import power, power_and_heat, remedies
from mplan.flight.living.feeding import could_give
from mplan.physics.constants import HOUR, MU_MOON, R_MOON
from mplan.physics.living.radiator import rejected

SHIP, CABIN = "elements.service_module", "elements.crew_module"
ARRAYS = {
    f"{SHIP}.power": {
        "stored_energy": "8 kWh",
        "supply": "0 W",
        "load": "1.5 kW",
        "arrays": {"power": "9 kW", "pointing": "90 %"},
        "battery": {"charge_limit": "6 kW", "usable_depth": "70 %"},
    },
}


@pytest.fixture(scope="module")
def flown(reference_landing, landing_plan):
    """A function that flies the reference landing with changes, on its own climb."""
    return lambda changes: mplan.fly(reference_landing.change(changes), like=landing_plan).flight


@pytest.fixture(scope="module")
def sunny(flown):
    return flown(ARRAYS)


def curve_of(flight, name: str) -> power_and_heat.ChargeCurve:
    return next(x for x in power_and_heat.charge_curves(flight) if x.element == name)


def test_without_arrays_the_curve_is_the_flight_s_own_book(landing_plan):
    """Every store ends with what the ledger has left of it, to a joule."""
    flight = landing_plan.flight
    curves = power_and_heat.charge_curves(flight)
    assert {"crew_module", "service_module"} <= {x.element for x in curves}
    for curve in curves:
        gives = could_give(flight.scenario, flight.end.ledger, curve.element)
        left = gives - flight.end.ledger.account(curve.element).drawn
        assert curve.left[-1] == pytest.approx(left, abs=1.0)
        assert np.all(np.diff(curve.t) > 0.0)
        assert curve.floor == 0.0
    assert list(power_and_heat.findings(flight)) == []


def test_every_night_of_the_orbit_takes_charge(sunny):
    """In lunar orbit it swings once a revolution, by the loads times the time in shadow.

    The shadow of a circle in the Sun's plane lasts asin(R/r)/pi of a turn at the most.
    """
    curve = curve_of(sunny, "service_module")
    orbit = next(x.after.orbit for x in sunny.passages if x.after.moon is not None)
    alone = [x for x in sunny.stretches if x.element == "crew_module" and x.radius]
    quiet = max(alone, key=lambda x: x.duration)
    inside = (curve.t > quiet.begin) & (curve.t < quiet.begin + quiet.duration)
    left = curve.left[inside]
    loads = sum(sunny.scenario.elements[x].power.load for x in ("service_module", "crew_module"))
    turn = 2.0 * pi * sqrt(quiet.radius**3 / MU_MOON)
    longest = np.arcsin(R_MOON / quiet.radius) / pi * turn
    assert orbit.a > R_MOON
    assert 0.6 * loads * longest < left.max() - left.min() <= 1.03 * loads * longest


def test_the_least_charge_and_when(sunny):
    curve = curve_of(sunny, "service_module")
    least, when = curve.least
    assert least == curve.left.min()
    assert 0.0 < curve.least_share < 1.0
    assert curve.t[0] <= when <= curve.t[-1]
    assert curve.floor == pytest.approx(0.3 * 8.0 * 3.6e6)


def test_a_battery_used_too_far_is_told_and_helped(flown):
    """A small one falls below the share that may be used; more of it closes that finding."""
    small = {**ARRAYS[f"{SHIP}.power"], "stored_energy": "2.2 kWh"}
    flight = flown({f"{SHIP}.power": small, f"{CABIN}.power.stored_energy": "40 kWh"})
    found = [x for x in power_and_heat.findings(flight) if x.check == "battery"]
    assert found
    assert found[0].event == "service_module"
    (told,) = remedies.for_findings(flight, tuple(found[:1]))
    assert "more stored in the service module" in told.remedies[0].change


@pytest.mark.parametrize(("beyond", "told"), [(1e3, 0), (-1e3, 1)])
def test_the_depth_is_told_without_arrays(flown, beyond, told):
    """A kilojoule more than a battery is drawn down by may be used, or one less."""
    whole = flown({})
    (use,) = (x for x in power.used(whole) if x.element == "crew_module")
    assert use.deepest == pytest.approx(use.stored - curve_of(whole, "crew_module").left.min())
    depth = f"{100.0 * (use.deepest + beyond) / use.stored:.9f} %"
    battery = {"usable_depth": depth, "charge_limit": "0 W"}
    found = power_and_heat.findings(flown({f"{CABIN}.power.battery": battery}))
    assert len([x for x in found if x.event == "crew_module" and x.check == "battery"]) == told


def test_a_store_that_gives_too_little_at_once(flown):
    """It is not empty, and that is said."""
    weak = {
        f"{SHIP}.power.battery": {"discharge_limit": "500 W"},
        f"{CABIN}.power.battery": {"discharge_limit": "100 W"},
    }
    texts = [x.text for x in power.findings(flown(weak))]
    assert any("cannot give at once what its loads take" in x for x in texts)


def test_a_load_without_a_source(flown):
    """One message."""
    none = {"stored_energy": "0 kWh", "supply": "0 W", "load": "1 kW"}
    flight = flown({f"{SHIP}.power": none, f"{CABIN}.power": none})
    own = [x for x in power.findings(flight) if x.event == "crew_module"]
    assert len(own) == 1
    assert "has no source of electric energy for its load" in own[0].text


def test_loads_add_up_to_what_is_used(landing_plan):
    """By phase and element, as much as the power check has in all."""
    rows = power_and_heat.load_rows(landing_plan.flight)
    for use in power.used(landing_plan.flight):
        assert sum(x.energy for x in rows if x.element == use.element) == pytest.approx(use.used)
    assert {"climb", "on the Moon", "translunar coast"} <= {x.phase for x in rows}


def test_a_radiator_by_hand():
    """6 m2 of 0.85 at 283 K to 220 K: 5.670e-8 (283^4 - 220^4) is 230.9 W/m2 of a black one."""
    assert rejected(6.0, 0.85, 283.0, 220.0) == pytest.approx(6.0 * 0.85 * 230.9, rel=1e-3)


def test_radiators_too_small_are_told_and_made_larger(flown):
    """Loads, three people at 136.8 W, what the hull takes up; the remedy closes it."""
    flight = flown({f"{SHIP}.radiators": {"area": "4 m2", "absorbed": "200 W"}})
    balances = [x for x in power_and_heat.heat_balances(flight) if x.cabin == "crew_module"]
    coast = next(x for x in balances if x.phase == "translunar coast")
    powers = [flight.scenario.elements[x].power for x in ("service_module", "crew_module")]
    assert coast.electric == sum(x.load for x in powers)
    assert coast.people == pytest.approx(3.0 * 136.81, abs=0.1)
    assert coast.rejected == pytest.approx(4.0 * 0.85 * 230.9, rel=1e-3)
    assert coast.margin < 0.0
    found = [x for x in power_and_heat.findings(flight) if x.check == "heat"]
    assert found
    (told,) = remedies.for_findings(flight, (found[0],))
    assert "more radiators on the service module" in told.remedies[0].change
    assert power_and_heat.without_radiators(flight) == ("ascent_stage",)


def test_without_radiators_heat_is_not_examined(landing_plan):
    assert power_and_heat.heat_balances(landing_plan.flight) == ()
    assert "crew_module" in power_and_heat.without_radiators(landing_plan.flight)
    assert HOUR == 3600.0
