"""What stops a ship launched on its own has remedies too, each flown as the whole mission."""

from __future__ import annotations

from pathlib import Path

import pytest

import mplan
from mplan import checks
from mplan.checks.finding import of_ship, own
from mplan.checks.remedies import for_findings
from mplan.checks.remedies.search import kind
from mplan.flight import walk

STAGE = "elements.upper_stage"
SCENARIOS = Path(mplan.__file__).parents[1] / "scenarios"


@pytest.fixture(scope="module")
def overworked(two_launches):
    """The lander's upper stage burns longer than its engine is qualified for."""
    changed = two_launches.scenario.change(f"{STAGE}.engines.main.qualified_duration", "200 s")
    flight = walk.fly_like(changed, two_launches)
    return flight, for_findings(flight, tuple(x for x in checks.of(flight) if x.rank == 0))


def test_a_ship_s_finding_has_remedies(overworked):
    """They name the ship, and tell what it costs that ship on its pad."""
    _, (finding,) = overworked
    assert (finding.ship, finding.check) == ("lander", "qualified duration")
    assert len(finding.remedies) > 1
    assert all(x.change.startswith("lander: ") for x in finding.remedies)
    assert all("lander: lift-off mass +" in x.outcome for x in finding.remedies)
    assert finding.unsolved == ""


def test_what_is_told_of_the_whole_mission_was_flown(overworked):
    """Four engines burn for a shorter time: flown again, all that is found is what was told."""
    flight, (finding,) = overworked
    told = next(x for x in finding.remedies if x.change == "lander: 4 engines on the upper stage")
    assert not told.closes
    engine = flight.scenario.elements["upper_stage"].engines["main"]
    bodies = flight.scenario.elements["upper_stage"]
    each = engine.mass or 0.0
    heavier = {
        f"{STAGE}.engines.main.count": 4,
        f"{STAGE}.dry_mass": f"{bodies.dry_mass + (4 - engine.count) * each} kg",
    }
    again = checks.of(walk.fly(flight.scenario.change(heavier)))
    stops = [x for x in again if x.rank == 0]
    assert stops[0].ship == "lander"
    assert kind(stops[0]) != kind(finding)
    assert stops[0].text.partition(" lacks")[0] in told.outcome


def test_energy_that_a_wait_takes():
    """What is short while a ship waits is tried with the whole mission, wait and all."""
    mission = mplan.load(SCENARIOS / "crew_follows.toml")
    flight = walk.fly(mission.change("elements.braking_stage.power.standby_load", "1.5 kW"))
    short = [x for x in checks.of(flight) if x.ship == "lander" and x.rank == 0]
    (finding,) = for_findings(flight, tuple(short))
    assert finding.check == "power"
    assert "on stand-by" in finding.text
    assert any("more stored in the braking stage" in x.change for x in finding.remedies)
    assert finding.unsolved  # it is not all that such a load leaves without energy


def test_a_view_changes_its_ship_alone(two_launches):
    """Keys of a ship are laid under it; hardware and what the mission carries are everybody's."""
    main, view = two_launches.scenario, two_launches.scenario.views["lander"]
    high = view.change("orbits.parking_altitude", "360 km")
    assert high.orbits.parking_altitude == 360e3
    assert high.main.orbits.parking_altitude == main.orbits.parking_altitude
    assert high.main.ships["lander"].orbits["parking_altitude"] == "360 km"
    heavy = view.change(f"{STAGE}.dry_mass", "11 t")
    assert heavy.main.elements["upper_stage"].dry_mass == 11e3
    light = view.change("mission.payload_down", "10 kg")
    assert light.main.mission.payload_down == light.mission.payload_down == 10.0
    assert view.orbits.parking_altitude == 350e3


def test_two_findings_are_alike_by_their_ship(two_launches):
    """The same words of two ships are two findings; a ship's name is no part of the words."""
    found = next(x for x in checks.of(two_launches) if x.ship == "lander" and x.check == "impact")
    alone = own(found)
    assert alone.ship == ""
    assert alone.text == found.text.removeprefix("lander: ")
    assert kind(found) != kind(alone)
    assert kind(of_ship(alone, "lander")) == kind(found)
