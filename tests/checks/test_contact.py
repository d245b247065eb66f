"""The contact log: passes, silences, events that nobody sees; a landing out of contact."""

from __future__ import annotations

import pytest

import mplan
from mplan.checks import contact
from mplan.physics.constants import DEG, MINUTE
from mplan.physics.contact import sightings

STATIONS = {
    "west": {"name": "West", "latitude": "30 deg", "longitude": "-112 deg"},
    "middle": {"name": "Middle", "latitude": "38 deg", "longitude": "-8 deg"},
    "east": {"name": "East", "latitude": "-31 deg", "longitude": "128 deg"},
}


@pytest.fixture(scope="module")
def seen(reference_landing) -> mplan.Plan:
    return mplan.fly(reference_landing.change("stations", STATIONS))


@pytest.fixture(scope="module")
def log(seen) -> contact.ContactLog:
    return contact.of(seen.flight)


def of_ship(log, plan):
    ship = next(x for x, e in plan.scenario.elements.items() if e.role == "crew module")
    return [x for x in log.silences if x.element == ship], [
        x for x in log.passes if x.element == ship
    ]


def test_behind_the_moon_once_a_revolution(log, seen):
    """In lunar orbit each silence lasts as the closed form has it, some 46 min, from 35 to 50."""
    silences, _ = of_ship(log, seen)
    hidden = [x for x in silences if x.why == sightings.HIDDEN]
    assert len(hidden) > 20
    assert all(30.0 * MINUTE < x.duration < 50.0 * MINUTE for x in hidden)


def test_passes_and_silences_fill_the_mission(log, seen):
    """At any time a station sees the ship, or there is a silence, never both."""
    silences, passes = of_ship(log, seen)
    end = seen.flight.duration
    for t in [end * i / 997 for i in range(1, 997)]:
        watched = any(x.begin + 1.0 < t < x.end - 1.0 for x in passes)
        silent = any(x.begin + 1.0 < t < x.end - 1.0 for x in silences)
        edge = any(abs(t - y) <= 2.0 for x in (*passes, *silences) for y in (x.begin, x.end))
        assert watched != silent or edge


def test_burns_and_events(log, seen):
    """Every burn with an engine lit is in it, with stations or with the reason why not."""
    named = {each.event for each in log.events}
    assert {burn.name for burn in seen.flight.burns if burn.lit} <= named
    assert all(bool(each.stations) != bool(each.why) for each in log.events)
    insertion = next(x for x in log.events if x.event == "lunar-orbit insertion")
    assert insertion.why == sightings.HIDDEN
    landing = next(x for x in log.events if x.event == "powered descent")
    assert landing.stations


def test_a_station_that_sees_lower_sees_longer(seen):
    """Masks count: the same stations with 20 deg have shorter passes of the climb and coast."""
    masked = {name: {**x, "lowest_elevation": "20 deg"} for name, x in STATIONS.items()}
    narrow = mplan.fly(seen.scenario.change("stations", masked), like=seen)

    def total(plan):
        return sum(x.end - x.begin for x in contact.of(plan.flight).passes)

    assert total(narrow) < 0.9 * total(seen)


def test_nothing_is_told_without_stations(landing_plan):
    assert contact.of(landing_plan.flight) == contact.ContactLog()


def test_a_landing_in_contact_has_no_finding(seen):
    assert not list(contact.findings(seen.flight))


def test_a_landing_on_the_far_side_is_a_decision(seen):
    """Earth is below the horizon there; the finding has by how much."""
    behind = seen.scenario.change({"landing_site.longitude": "175 deg"})
    plan = mplan.fly(behind)
    found = list(contact.findings(plan.flight))
    assert [x.severity for x in found] == ["needs a decision"]
    assert found[0].figures.measure.found < -60.0
    assert "below the landing site's horizon" in found[0].text


def test_a_landing_that_no_station_sees_is_a_decision(seen):
    """One station alone, with the Moon below its horizon at touchdown."""
    t = next(x.elapsed for x in seen.flight.moments if x.kind == "land")
    watching = {x.station for x in contact.of(seen.flight).passes if x.begin < t < x.end}
    blind = {name: x for name, x in STATIONS.items() if x["name"] not in watching}
    assert blind
    plan = mplan.fly(seen.scenario.change("stations", blind), like=seen)
    found = list(contact.findings(plan.flight))
    assert [x.text for x in found] == [
        "no ground station sees the Moon at touchdown: no contact without a relay"
    ]


@pytest.mark.parametrize(
    ("station", "text"),
    [
        ({"latitude": "95 deg"}, "stations.west.latitude"),
        ({"altitude": "9 km"}, "from -450 m to 6000 m"),
        ({"lowest_elevation": "-3 deg"}, "from 0 deg to 60 deg"),
        ({"gain": "30 dB"}, "unknown key"),
    ],
)
def test_impossible_stations_are_refused(reference_landing, station, text):
    """One message each, with the key, what was found and what is accepted."""
    wrong = {"west": {**STATIONS["west"], **station}}
    with pytest.raises(mplan.ScenarioError) as refused:
        reference_landing.change("stations", wrong)
    assert len(refused.value.problems) == 1
    assert text in str(refused.value)


def test_highest_of_a_pass_is_over_its_mask(log):
    assert all(5.0 - 0.2 < x.highest / DEG <= 90.0 for x in log.passes)
