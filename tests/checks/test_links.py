"""Radio links along the mission: margins by distance, which radio works, what is to decide."""

from __future__ import annotations

import numpy as np
import pytest

import mplan
from mplan.checks import contact
from mplan.checks.contact import links
from mplan.physics.contact import link
from mplan.scenario import ScenarioError

STATIONS = {
    "west": {"name": "West", "latitude": "30 deg", "longitude": "-112 deg", "g_over_t": "23 dB/K"},
    "middle": {
        "name": "Middle",
        "latitude": "38 deg",
        "longitude": "-8 deg",
        "antenna_gain": "44.77 dBi",
        "noise_temperature": "150 K",
        "eirp": "66 dBW",
    },
    "east": {"name": "East", "latitude": "-31 deg", "longitude": "128 deg"},
}
RADIO = {
    "power": "10 W",
    "antenna_gain": "25 dBi",
    "losses": "6 dB",
    "frequency": "2.25 GHz",
    "rate": "2 Mbit/s",
    "required_ebn0": "2.5 dB",
    "command": {
        "g_over_t": "-4 dB/K",
        "frequency": "2.07 GHz",
        "losses": "6 dB",
        "rate": "64 kbit/s",
        "required_ebn0": "9.6 dB",
    },
}
OMNI = {**RADIO, "power": "5 W", "antenna_gain": "0 dBi", "rate": "2 kbit/s"}
del OMNI["command"]


@pytest.fixture(scope="module")
def scenario(reference_landing):
    changes = {"stations": STATIONS, "elements.service_module.radio": RADIO}
    changes |= {"elements.crew_module.radio": OMNI, "elements.ascent_stage.radio": RADIO}
    return reference_landing.change(changes)


@pytest.fixture(scope="module")
def plan(scenario) -> mplan.Plan:
    return mplan.fly(scenario)


@pytest.fixture(scope="module")
def log(plan) -> contact.ContactLog:
    return contact.of(plan.flight)


def test_margin_falls_as_the_square_of_distance(log):
    """20 dB a decade, whatever else the link is made of (Friis)."""
    curve = next(x for x in log.links if x.station == "West" and x.radio == "service_module")
    seen = np.flatnonzero(~np.isnan(curve.margin))
    near, far = seen[np.argmin(curve.distance[seen])], seen[np.argmax(curve.distance[seen])]
    fall = 20.0 * np.log10(curve.distance[far] / curve.distance[near])
    assert curve.margin[near] - curve.margin[far] == pytest.approx(fall, abs=1e-9)
    assert curve.least.distance == pytest.approx(float(curve.distance[far]))


def test_a_margin_by_hand(log):
    """10 dBW + 25 - 6 + 23 + 228.6 - 211.5 (400,000 km) - 63.0 - 2.5: some 3.6 dB at the Moon."""
    curve = next(x for x in log.links if x.station == "West" and x.radio == "service_module")
    far = curve.least
    assert far.margin + 20.0 * np.log10(far.distance / 400e6) == pytest.approx(3.6, abs=0.1)


def test_a_station_by_gain_and_temperature_is_as_by_its_merit(log):
    """44.77 dBi at 150 K are 23.0 dB/K: the two stations differ by geometry alone."""
    assert link.figure_of_merit(44.77, 150.0) == pytest.approx(23.01, abs=0.005)
    told = {x.station for x in log.links if x.direction == "to Earth"}
    assert told == {"West", "Middle"}  # East states nothing that it receives with
    assert {x.station for x in log.links if x.direction == "from Earth"} == {"Middle"}


def test_the_radio_that_radiates_most_works_but_no_other_cabins(log):
    """The service module's for the crew module until it goes; the lander's own once it is alone."""
    used = {(x.element, x.radio) for x in log.links}
    assert ("crew_module", "service_module") in used
    assert ("crew_module", "ascent_stage") not in used
    assert ("ascent_stage", "ascent_stage") in used


def test_what_has_left_has_its_own_radio_from_that_moment_on(scenario, plan):
    """Whichever way the moment is rounded: a date in seconds past J2000 is good for 1e-7 s."""
    loud = mplan.fly(scenario.change("elements.service_module.radio.power", "40 W"), like=plan)
    flight = loud.flight
    left = next(x for x in flight.passages if len(x.before.joined("ascent_stage")) == 2)
    edge = left.before.elapsed + np.array([-1.0, -1e-7, 0.0, 1e-7])
    used = links._used(flight, "ascent_stage", edge)
    assert used["service_module"].tolist() == [True, False, False, False]
    assert used["ascent_stage"].tolist() == [False, True, True, True]


def test_margins_only_while_the_station_sees_it(log):
    for curve in log.links:
        passes = [x for x in log.passes if (x.element, x.station) == (curve.element, curve.station)]
        for t in curve.elapsed[~np.isnan(curve.margin)]:
            assert any(x.begin - 1.0 <= t <= x.end + 1.0 for x in passes)


def test_the_best_station_at_every_time(log):
    for best in links.best(log.links):
        own = [
            x
            for x in log.links
            if (x.element, x.radio, x.direction) == (best.element, best.radio, best.direction)
        ]
        every = np.array([np.where(np.isnan(x.margin), -np.inf, x.margin) for x in own])
        found = np.where(np.isnan(best.margin), -np.inf, best.margin)
        assert np.array_equal(found, every.max(axis=0))


def test_a_rate_that_keeps_the_margin_does(scenario, plan, log):
    """Flown again with the rate that is told, the link keeps its margin to 0.01 dB."""
    low = next(x for x in links.best(log.links) if x.radio == "service_module")
    rate = f"{low.least.closing_rate:.0f} bit/s"
    again = mplan.fly(scenario.change("elements.service_module.radio.rate", rate), like=plan)
    found = next(
        x for x in links.best(contact.of(again.flight).links) if x.radio == "service_module"
    )
    assert found.least.margin == pytest.approx(3.0, abs=0.01)


def test_a_link_that_does_not_close_is_a_decision(scenario, plan):
    fast = mplan.fly(scenario.change("elements.ascent_stage.radio.rate", "40 Mbit/s"), like=plan)
    found = [x for x in fast.findings if x.check == "contact" and "link" in x.text]
    assert [x.severity for x in found] == ["needs a decision"]
    assert "does not close" in found[0].text
    assert found[0].subject == ("ascent_stage",)
    assert not [x for x in plan.findings if "the link" in x.text]


def test_without_radios_there_are_no_links(reference_landing):
    bare = mplan.fly(reference_landing.change("stations", STATIONS))
    assert contact.of(bare.flight).links == ()


@pytest.mark.parametrize(
    ("key", "value", "text"),
    [
        ("antenna_gain", None, r"radio\.antenna_gain: missing; write for example: antenna_gain"),
        ("required_ebn0", None, r"radio\.required_ebn0: missing; write for example"),
        ("rate", "-64 kbit/s", r'found "-64 kbit/s", too small; accepted: a data rate'),
        ("rate", "0 bit/s", r'found "0 bit/s", too small'),
        ("antenna_gain", "25 dB", r'found "25 dB", of another dimension'),
        ("power", "10 dBW", r"of another dimension"),
        ("required_ebn0", "-3 dB", r"too small"),
        ("frequency", "2.25 MHz", r"too small"),
    ],
)
def test_radios_that_are_refused(reference_landing, key, value, text):
    radio = {**RADIO, key: value} if value else {x: y for x, y in RADIO.items() if x != key}
    with pytest.raises(ScenarioError, match=text) as caught:
        reference_landing.change("elements.service_module.radio", radio)
    assert len(caught.value.problems) == 1


@pytest.mark.parametrize(
    ("keys", "text"),
    [
        ({"noise_temperature": "150 K"}, r"stations\.west\.antenna_gain: missing beside noise"),
        ({"antenna_gain": "44 dBi"}, r"stations\.west\.noise_temperature: missing beside antenna"),
        ({"g_over_t": "9 dB/K", "antenna_gain": "44 dBi"}, r"given together with antenna_gain"),
    ],
)
def test_stations_that_are_refused(reference_landing, keys, text):
    bare = {x: y for x, y in STATIONS["west"].items() if x != "g_over_t"}
    with pytest.raises(ScenarioError, match=text) as caught:
        reference_landing.change("stations", {"west": {**bare, **keys}})
    assert len(caught.value.problems) == 1
