"""Counters on one sheet: by hand from the missions' files, and equal to what the ledger holds."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from mplan import checks
from mplan.checks import counters, engines
from mplan.checks.docked import cycles
from mplan.flight.record import Flight
from mplan.scenario import ScenarioError

LANDER = {
    "booster_pair",
    "core_stage",
    "upper_stage",
    "departure_stage",
    "lander_bay",
    "descent_stage",
    "ascent_stage",
}


@pytest.fixture(scope="module")
def sheet(landing_plan) -> counters.CounterSheet:
    return counters.of(landing_plan.flight)


@pytest.fixture(scope="module")
def two(two_launches) -> counters.CounterSheet:
    return counters.of(two_launches)


def numbers(sheet: counters.CounterSheet, *key: str) -> list[tuple[int, int, int]]:
    """First and last number of each start of an engine, and how many it is qualified for."""
    return [(x.first, x.last, x.rated.starts) for x in sheet.starts if x.key == key]


def with_keys(flight: Flight, **keys: object) -> Flight:
    """The same flight under other ratings, which are only looked at once it is over."""
    changed = flight.scenario.change({key.replace("__", "."): x for key, x in keys.items()})
    views = changed.views
    others = {name: replace(x, scenario=views[name]) for name, x in flight.others.items()}
    return replace(flight, scenario=changed, others=others)


def test_starts_by_hand(sheet):
    """The order of the file: the ship's engine is lit five times, its thrusters settle each."""
    assert numbers(sheet, "first_stage", "lift") == [(1, 1, 1)]
    assert numbers(sheet, "transfer_stage", "main") == [(1, 1, 2), (2, 2, 2)]
    assert numbers(sheet, "service_module", "main") == [(i, i, 20) for i in range(1, 6)]
    assert numbers(sheet, "service_module", "thrusters") == [(i, i, 5000) for i in range(1, 6)]
    # Two settle the descent engine; the rendezvous of the brief has seven burns.
    assert numbers(sheet, "ascent_stage", "thrusters") == [(1, 1, 500), (2, 2, 500), (3, 9, 500)]
    settled = [x.what for x in sheet.starts if x.key == ("ascent_stage", "thrusters")]
    assert settled[1] == "settling for powered descent"


@pytest.mark.parametrize("of", ["landing_plan", "two_launches"])
def test_totals_are_those_of_the_ledger(of, request):
    """Of every engine of every ship; what was dropped before the ships met is in it too."""
    found = request.getfixturevalue(of)
    flight = found if isinstance(found, Flight) else found.flight
    counted = counters.of(flight).starts
    last = {x.key: x for x in counted}
    ledger = flight.end.ledger
    assert {key: x.last for key, x in last.items()} == dict(ledger.starts)
    assert {key: x.burned for key, x in last.items()} == pytest.approx(dict(ledger.seconds))
    for key, total in ledger.seconds.items():
        assert sum(x.seconds for x in counted if x.key == key) == pytest.approx(total)


def test_the_pause_before_a_start(sheet, landing_plan):
    """From cut-off to ignition; after a rendezvous from its last burn, hours after its first."""
    first, second = (x for x in landing_plan.burns if x.element == "transfer_stage")
    _, injection = (x for x in sheet.starts if x.key == ("transfer_stage", "main"))
    assert injection.pause == pytest.approx(second.elapsed - first.elapsed - first.duration)
    (met,) = (x for x in sheet.starts if x.what == "rendezvous")
    done = landing_plan.flight.end.rendezvous.burns
    assert met.cut_off == pytest.approx(done[-1].elapsed + done[-1].duration)
    gaps = [y.elapsed - x.elapsed - x.duration for x, y in pairwise(done)]
    assert met.within == pytest.approx(min(gaps))


def test_each_ship_has_its_own(two):
    """An element stays with the ship that lifted it, whoever lights it later."""
    assert {x.element for x in two.starts if x.ship == "lander"} == LANDER - {"lander_bay"}
    assert numbers(two, "booster_pair", "lift") == numbers(two, "crew_boosters", "lift")
    injection = next(x for x in two.starts if x.what == "translunar injection")
    assert (injection.ship, injection.flown_by, injection.first) == ("lander", "", 1)
    lit_before = {x.element for x in two.starts if x.flown_by == "lander"}
    assert lit_before == {"booster_pair", "core_stage", "upper_stage"}
    assert [x.elapsed for x in two.starts] == sorted(x.elapsed for x in two.starts)


@pytest.mark.parametrize("of", ["landing_plan", "two_launches"])
def test_thruster_tanks_close(of, request):
    """Tanks of thrusters alone lose what these draw and nothing else; shared ones what others do.

    Storable propellant does not boil off.
    """
    found = request.getfixturevalue(of)
    flight = found if isinstance(found, Flight) else found.flight
    for each in counters.of(flight).thruster_tanks:
        mounted = flight.scenario.elements[each.element].engines
        tanks = {mounted[each.engine].fuel, mounted[each.engine].oxidiser}
        sharing = {key for key, x in mounted.items() if tanks & {x.fuel}} - {each.engine}
        drawn = sum(
            x.propellant
            for x in flight.every_burn
            if x.element == each.element and x.engine in sharing
        )
        assert each.other == pytest.approx(drawn, abs=1e-6)
        assert each.loaded > 0.0
    settled = sum(x.settling.propellant for x in flight.every_burn if x.settling)
    assert sum(x.settling for x in counters.of(flight).thruster_tanks) == pytest.approx(settled)


def test_attitude_is_not_counted_without_a_budget(sheet, two):
    """No zero stands for what nobody works out."""
    assert {(x.attitude, x.docking) for x in sheet.thruster_tanks} == {(None, None)}
    (ship,) = (x for x in two.thruster_tanks if x.element == "service_module")
    assert min(ship.attitude, ship.docking, ship.settling, ship.burns) > 0.0


def test_dockings_by_hand(sheet, two):
    """Turned round to the lander, and met again: two of either port."""
    ports = [[(port.element, port.number) for port in (x.active, x.target)] for x in sheet.dockings]
    ship, stage = "crew_module", "ascent_stage"
    assert ports == [[(ship, 1), (stage, 1)], [(stage, 2), (ship, 2)]]
    assert [x.target.ship for x in two.dockings] == ["lander", ""]


def test_crew_transfers_by_hand(sheet):
    """Two go over, and come back after the landing."""
    assert [(x.crew, x.origin, x.target) for x in sheet.crew_transfers] == [
        (2, "crew_module", "ascent_stage"),
        (2, "ascent_stage", "crew_module"),
    ]
    assert sheet.crew_transfers[0].elapsed < sheet.crew_transfers[1].elapsed


def test_jettisons_in_order(sheet, landing_plan, two):
    """As they happen, not as they are listed: each weighs its dry mass and what it still holds."""
    assert [x.element for x in sheet.jettisons] == [
        "first_stage",
        "escape_tower",
        "second_stage",
        "transfer_stage",
        "lander_bay",
        "descent_stage",
        "ascent_stage",
        "service_module",
    ]
    tower = next(x for x in sheet.jettisons if x.element == "escape_tower")
    assert tower.mass == pytest.approx(
        1.03 * landing_plan.scenario.elements["escape_tower"].dry_mass
    )
    burn = next(x for x in landing_plan.burns if x.name == "second-stage climb")
    assert tower.elapsed == pytest.approx(burn.elapsed + 35.0)
    assert {x.element for x in two.jettisons if x.ship == "lander"} == LANDER


def test_ports_qualified_for_less(landing_plan):
    """Two dockings of a port for two are in order; for one they stop the flight, once."""
    flight, key = landing_plan.flight, "elements__crew_module__docking_cycles"
    assert list(cycles.findings(with_keys(flight, **{key: 2}))) == []
    (finding,) = cycles.findings(with_keys(flight, **{key: 1}))
    assert (finding.severity, finding.check) == ("stops the flight", "docking cycles")
    assert finding.text == (
        "the docking port of the crew module docks 2 times and is qualified for 1"
    )
    assert finding.event == "dock ascent stage to crew module"


@pytest.mark.parametrize("value", [0, "many", 2.5, True])
def test_docking_cycles_are_a_number(reference_landing, value):
    """One message with the key."""
    with pytest.raises(ScenarioError, match=r"elements\.crew_module\.docking_cycles: found"):
        reference_landing.change("elements.crew_module.docking_cycles", value)


def test_burns_of_a_series_follow_one_another_too_soon(landing_plan):
    """The braking gates of a rendezvous are minutes apart."""
    key = "elements__ascent_stage__engines__thrusters__restart_interval"
    assert list(engines.findings(with_keys(landing_plan.flight, **{key: "10 s"}))) == []
    (finding,) = engines.findings(with_keys(landing_plan.flight, **{key: "10 min"}))
    assert (finding.check, finding.event) == ("restart", "rendezvous")
    assert finding.text.endswith("min within rendezvous")


def test_an_engine_of_another_ship_is_found_once(two_launches):
    """What a stage did before the ships met is told of its ship, and not again after."""
    keys = {
        f"elements__{stage}__engines__main__{key}": "100 s"
        for stage in ("upper_stage", "departure_stage")
        for key in ("qualified_duration", "longest_burn")
    }
    found = [
        x for x in checks.of(with_keys(two_launches, **keys)) if x.check == "qualified duration"
    ]
    assert [(x.ship, x.subject[0]) for x in found] == [
        ("", "departure_stage"),
        ("lander", "upper_stage"),
    ]
