"""A lander that waits in lunar orbit keeps its orbit up until its crew come, at a price."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

import mplan
from mplan import checks
from mplan.checks import counters
from mplan.checks.docked import waiting
from mplan.checks.finding import Finding
from mplan.checks.remedies.kinds import orbit_height
from mplan.checks.remedies.trials import Trials
from mplan.flight import sequence, walk
from mplan.flight.unflyable import Unflyable
from mplan.physics import constants as c
from mplan.physics.arcs.orbit import apsides
from mplan.scenario import ScenarioError
from mplan.scenario.figures import Figures

ROOT = Path(mplan.__file__).parents[1]
UPKEEP = {"element": "braking_stage", "engine": "thrusters", "lowest_perilune": "185 km"}


@pytest.fixture(scope="module")
def kept():
    """Flown: the field to degree 8, and burns against it while the lander waits."""
    scenario = mplan.load(ROOT / "scenarios" / "crew_follows.toml")
    changes = {"orbits.lunar_gravity": "degree 8", "ships.lander.orbit_upkeep": UPKEEP}
    return walk.fly(scenario.change(changes))


def circle_off(orbit) -> float:
    """How far the apsides lie off the planned 200 km [km]."""
    return max(abs(x - c.R_MOON - 200e3) for x in apsides(orbit)) / 1e3


def test_it_is_restored_when_it_has_sunk_and_before_it_is_met(kept):
    """Two burns of a few metres a second each time; the crew find a circle to 2 km."""
    wait = kept.waits["lander"]
    assert [x.leg for x in wait.burns] == ["orbit upkeep"] * 2
    first, last = (x for x in wait.passages if x.burn is not None)
    sunk = (apsides(first.burn.at_ignition.orbit)[0] - c.R_MOON) / 1e3
    assert 181.0 < sunk < 185.0  # seen once in a revolution, in which it may sink by half a km
    assert all(circle_off(x.after.orbit) < 2.0 for x in (first, last))
    by_hand = (200.0 - sunk) * 1e3 / 2.0 / (c.R_MOON + 200e3) ** 1.5 * c.MU_MOON**0.5
    assert first.burn.required == pytest.approx(by_hand, rel=0.1)
    meets = next(x for x in kept.passages if x.burn and x.burn.leg == "lunar-orbit rendezvous")
    assert 0.0 < meets.before.t - last.after.t < 6.0 * c.HOUR
    assert kept.burn_of("lunar-orbit rendezvous").trouble == ""


def test_an_orbit_that_sinks_while_the_crew_phase_is_told(kept):
    """Nothing at the planned limit; with one that the circle breathes through, when and how far."""
    wait = kept.waits["lander"]
    assert [x for x in waiting.findings(kept) if x[1].check == "orbit upkeep"] == []
    limit = apsides(wait.passages[-1].before.orbit)[0] - c.R_MOON - 50.0
    key = "ships.lander.orbit_upkeep.lowest_perilune"
    tight = kept.scenario.change(key, f"{limit / 1e3:.3f} km").views["lander"]
    (found,) = waiting.unkept(replace(wait, scenario=tight))
    assert found.severity == "for information"
    assert "orbit is not restored" in found.text
    assert float(found.found.removesuffix(" km")) < limit / 1e3


def test_its_price_is_carried_over(kept):
    """Propellant and starts stand in the ledger of the ship that the crew dock to, to the gram."""
    wait = kept.waits["lander"]
    before, after = wait.start.ledger, wait.end.ledger
    drawn = sum(x.propellant for x in wait.burns)
    key, tank = ("braking_stage", "thrusters"), ("braking_stage", "thruster_fuel")
    given = sum(
        x.given
        for account, x in wait.end.thrusters.drawn.items()
        if account.element == "braking_stage"
    ) - sum(
        x.given
        for account, x in wait.start.thrusters.drawn.items()
        if account.element == "braking_stage"
    )
    assert before.levels[tank] - after.levels[tank] == pytest.approx(drawn + given, abs=1e-3)
    assert after.starts[key] == before.starts.get(key, 0) + 4
    docked = next(x for x in kept.passages if x.event.do == "dock")
    assert docked.after.ledger.starts[key] >= after.starts[key]


def test_its_burns_are_told_with_their_dates(kept):
    """On the crew's clock among all events, under the ship's name."""
    lines = [x for x in kept.every_moment if x.event == "lander: orbit upkeep"]
    left = next(x for x in kept.every_moment if x.event == "lander: lunar-orbit circularisation")
    docked = next(x for x in kept.every_moment if x.kind == "dock")
    assert len(lines) == 2
    assert all(left.elapsed < x.elapsed < docked.elapsed for x in lines)
    assert lines[0].note.startswith("perilune from 18")
    assert [x.name for x in kept.every_burn].count("lander: orbit upkeep") == 2


def test_nobody_meets_what_has_drifted(kept):
    """Without upkeep the same rendezvous does not come about."""
    drifts = walk.fly_like(kept.scenario.change("ships.lander.orbit_upkeep", None), kept)
    assert drifts.waits["lander"].burns == ()
    assert "passed the target" in drifts.burn_of("lunar-orbit rendezvous").trouble


def test_too_few_starts_are_told(kept):
    """The upkeep's starts count as any other's."""
    few = kept.scenario.change("elements.braking_stage.engines.thrusters.starts", 3)
    told = [x for x in checks.of(walk.fly_like(few, kept)) if x.check == "starts"]
    assert any(x.ship == "lander" and "is started 7 times" in x.text for x in told)


def test_a_limit_that_cannot_be_kept(kept):
    """A circle to degree 8 breathes by more than is left: refused, with what would do."""
    near = kept.scenario.change("ships.lander.orbit_upkeep.lowest_perilune", "199.5 km")
    with pytest.raises(Unflyable, match="accepted: less than 19") as caught:
        walk.fly_like(near, kept)
    assert caught.value.path == ("ships", "lander", "orbit_upkeep", "lowest_perilune")


@pytest.mark.parametrize(
    ("key", "value", "text"),
    [
        ("element", "crew_core", "which is not in the stack"),
        ("element", "nose_fairing", "which has no engine"),
        ("engine", "nothing", "no engine of braking_stage is called"),
        ("lowest_perilune", "201 km", "accepted: at most orbits.lunar_altitude"),
        ("height", "1 km", "height"),
    ],
)
def test_what_a_file_states_wrong(kept, key, value, text):
    """One message, with the key under the ship."""
    with pytest.raises(ScenarioError, match=text) as caught:
        kept.scenario.change(f"ships.lander.orbit_upkeep.{key}", value)
    assert f"ships.lander.orbit_upkeep.{key}" in str(caught.value)


def test_upkeep_is_proposed_where_a_ship_sinks(kept):
    """By the thrusters of what burned last, then by its main engine; the file takes either."""
    found = Finding("stops the flight", "lunar orbit", "", "", Figures("", ""), "")
    wait = kept.waits["lander"]
    given = list(orbit_height.proposals(found, wait, Trials()))
    assert [x.change for x in given] == [
        f"orbit upkeep by {engine} of the braking stage at a perilune of 180 km"
        for engine in ("thrusters", "main")
    ]
    flown = given[1].of(wait.scenario).orbit_upkeep
    assert (flown.element, flown.engine, flown.lowest_perilune) == ("braking_stage", "main", 180e3)


def test_upkeep_is_counted(kept):
    """Its starts and its propellant are the lander's, on the sheet once, as the ledger has them."""
    sheet, ledger = counters.of(kept), kept.end.ledger
    last = {x.key: x.last for x in sheet.starts}
    assert last == dict(ledger.starts)
    burns = [x for x in kept.waits["lander"].burns if x.leg == "orbit upkeep"]
    lit = [x for x in sheet.starts if "orbit upkeep" in x.what and x.engine == burns[0].engine]
    assert len(lit) == len(burns) > 0
    assert {x.ship for x in lit} == {"lander"}
    (tanks,) = (x for x in sheet.thruster_tanks if x.element == burns[0].element)
    assert tanks.upkeep == pytest.approx(sum(x.propellant for x in burns))
    assert tanks.other == pytest.approx(0.0, abs=1e-6)


@pytest.fixture(scope="module")
def around():
    """A mission to lunar orbit and back, in the field to degree 8."""
    scenario = mplan.load(ROOT / "tests" / "missions" / "orbit_and_return.toml")
    return scenario.change("orbits.lunar_gravity", "degree 8")


def test_a_ship_with_its_crew_restores_its_orbit_when_it_is_told_to(around):
    """As an event of its own, after the stay; out of lunar orbit it is a fault."""
    events = around.events_as_written()
    stay = next(i for i, x in enumerate(events) if x["do"] == "stay")
    mine = {"do": "burn", "leg": "orbit upkeep", "element": "service_module"}
    told = around.change("events", [*events[: stay + 1], mine, *events[stay + 1 :]])
    flown = walk.fly(told)
    after = next(x for x in flown.passages if x.burn and x.burn.leg == "orbit upkeep")
    planned = c.R_MOON + told.orbits.lunar_altitude
    assert max(abs(x - planned) for x in apsides(after.before.orbit)) > 4e3
    assert max(abs(x - planned) for x in apsides(after.after.orbit)) < 2e3
    early = around.change("events", [*events[:2], mine, *events[2:]])
    assert "orbit upkeep outside lunar orbit" in [x.text for x in sequence.faults(early)]
