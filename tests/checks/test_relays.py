"""Relays about the Moon: a far-side landing in contact through one, links to it, bad input."""

from __future__ import annotations

from math import degrees

import numpy as np
import pytest

import mplan
from mplan.checks import contact
from mplan.flight.whereabouts import relay_places
from mplan.physics.arcs.lunar_elements import LunarElements, orbit_of_elements
from mplan.physics.arcs.lunar_orbit import lunar_apsides
from mplan.physics.bodies import ephemeris, selenography
from mplan.physics.constants import DAY, R_MOON
from mplan.physics.contact import sightings
from mplan.scenario import ScenarioError

STATIONS = {
    "west": {"name": "West", "latitude": "30 deg", "longitude": "-112 deg"},
    "middle": {"name": "Middle", "latitude": "38 deg", "longitude": "-8 deg"},
    "east": {"name": "East", "latitude": "-31 deg", "longitude": "128 deg"},
}
RELAY = {
    "name": "Lantern",
    "perilune": "3000 km",
    "apolune": "12000 km",
    "inclination": "60 deg",
    "node": "90 deg",
    "argument_of_perilune": "270 deg",
    "reach": "30000 km",
    "g_over_t": "-2 dB/K",
}
RADIO = {
    "power": "10 W",
    "antenna_gain": "12 dBi",
    "losses": "5 dB",
    "frequency": "2.25 GHz",
    "rate": "256 kbit/s",
    "required_ebn0": "2.5 dB",
}


@pytest.fixture(scope="module")
def far(reference_landing) -> mplan.Plan:
    """A landing on the far side without a relay."""
    changes = {"stations": STATIONS, "landing_site.longitude": "175 deg"}
    return mplan.fly(reference_landing.change(changes))


def with_relay(far, **keys):
    relay = {x: y for x, y in {**RELAY, **keys}.items() if y is not None}
    return mplan.fly(far.scenario.change("relays", {"lantern": relay}), like=far)


@pytest.fixture(scope="module")
def relayed(far):
    """The same with a relay over it: of four places of its node, the one that serves."""
    for node in (0, 90, 180, 270):
        plan = with_relay(far, node=f"{node} deg")
        if not list(contact.findings(plan.flight)):
            return plan
    raise AssertionError("no place of the node serves the landing")


def test_a_far_side_landing_with_a_relay_is_in_contact(far, relayed):
    assert [x.severity for x in contact.findings(far.flight)] == ["needs a decision"]
    log = contact.of(relayed.flight)
    landing = next(x for x in log.events if x.event == "touchdown on the Moon")
    assert landing.stations == ("Lantern",)
    before = contact.of(far.flight)
    silent = sum(x.duration for x in log.silences)
    assert silent < 0.7 * sum(x.duration for x in before.silences)


def test_a_relay_that_does_not_see_it_is_told(far):
    """Its orbit the other way up: over the near side at touchdown, in one place of its node."""
    said = []
    for node in (0, 90, 180, 270):
        plan = with_relay(far, node=f"{node} deg")
        said += [x.text for x in contact.findings(plan.flight)]
    assert any("no contact, and no relay sees it" in text for text in said)


def test_seen_through_the_relay_is_geometry(relayed):
    """No Moon between craft and relay, nor relay and Earth: checked with spheres by hand."""
    log, start = contact.of(relayed.flight), relayed.flight.end.lift_off
    landing = next(x for x in log.events if x.event == "touchdown on the Moon")
    t = np.array([start + landing.elapsed])
    relay = next(iter(relayed.scenario.relays.values()))
    own = relay_places(relay, start, np.array([start, t[0]]))[1] - ephemeris.moon(t).r[0]
    site = relayed.scenario.site
    place = selenography.site_position(site.latitude, site.longitude, float(t[0]), site.elevation)
    assert float((own - place) @ place) > 0.0  # over its horizon
    earth = -ephemeris.moon(t).r[0]
    along = (earth - own) / np.linalg.norm(earth - own)
    nearest = own + max(0.0, float(-own @ along)) * along
    assert np.linalg.norm(nearest) > R_MOON
    assert sightings.beside_moon(ephemeris.moon(t).r + own, np.zeros((1, 3)), t)[0] > 0.0


def test_elements_come_back_out():
    """The orbit made of elements has them, by the functions that tell a flown orbit's."""
    t, made = 1.0e9, LunarElements(R_MOON + 3e6, R_MOON + 12e6, 1.0, 2.0, 4.0, 0.7)
    orbit = orbit_of_elements(made, t)
    found = lunar_apsides(orbit)
    assert found.perilune == pytest.approx(made.perilune, rel=1e-12)
    assert found.apolune == pytest.approx(made.apolune, rel=1e-12)
    assert found.inclination == pytest.approx(1.0, abs=1e-9)
    assert found.argument == pytest.approx(4.0, abs=1e-9)
    fixed = selenography.moon_fixed_axes(t) @ orbit.normal
    assert degrees(np.arctan2(fixed[0], -fixed[1])) == pytest.approx(degrees(2.0), abs=1e-6)


def test_places_do_not_depend_on_what_else_is_asked(relayed):
    """To 50 m: the Moon's pole is looked up anew for each piece, which begins elsewhere."""
    relay, start = next(iter(relayed.scenario.relays.values())), relayed.flight.end.lift_off
    few = relay_places(relay, start, start + np.array([0.0, 3.0, 7.5]) * DAY)
    many = relay_places(relay, start, start + np.arange(0.0, 7.6, 0.25) * DAY)
    assert np.linalg.norm(few[-1] - many[-1]) < 50.0  # m
    assert np.linalg.norm(few[1] - many[12]) < 50.0


def test_the_link_to_the_relay_is_there_where_stations_do_not_see(relayed):
    changes = {"elements.ascent_stage.radio": RADIO}
    plan = mplan.fly(relayed.scenario.change(changes), like=relayed)
    log = contact.of(plan.flight)
    curve = next(x for x in log.links if x.direction == "to a relay")
    assert curve.station == "Lantern"
    assert curve.least.distance < 16e6
    passes = [x for x in log.passes if x.station != "Lantern" and x.element == curve.element]
    for t in curve.elapsed[~np.isnan(curve.margin)]:
        assert not any(x.begin + 1.0 < t < x.end - 1.0 for x in passes)


def test_a_relay_that_comes_down_is_a_decision(far):
    """An ellipse out to 30,000 km has its perilune moved by tens of kilometres a day."""
    changes = {"perilune": "50 km", "apolune": "30000 km", "inclination": "90 deg"}
    down = [
        x
        for node in (0, 90)
        for x in contact.findings(with_relay(far, node=f"{node} deg", **changes).flight)
        if "comes down" in x.text
    ]
    assert down
    assert down[0].figures.measure.left < 0.0


@pytest.mark.parametrize(
    ("keys", "text"),
    [
        ({"reach": None}, r"relays\.lantern\.reach: missing; write for example"),
        ({"perilune": "-100 km"}, r"too small"),
        ({"apolune": "2000 km"}, r'found "2000 km"; accepted: at least the perilune, "3000 km"'),
        ({"epoch": "2000-01-01"}, r"d from dates\.launch_day; accepted: 60 d at most"),
    ],
)
def test_relays_that_are_refused(far, keys, text):
    with pytest.raises(ScenarioError, match=text) as caught:
        with_relay(far, **keys)
    assert len(caught.value.problems) == 1


def test_a_relay_without_stations_is_refused(reference_landing):
    with pytest.raises(ScenarioError, match="relays hand on to ground stations") as caught:
        reference_landing.change("relays", {"lantern": RELAY})
    assert len(caught.value.problems) == 1
