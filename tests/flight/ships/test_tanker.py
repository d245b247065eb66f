"""A stage fills up from a tanker that waits in Earth orbit, and leaves for the Moon fuller."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest

import mplan
from mplan.checks import counters
from mplan.flight import walk
from mplan.flight.unflyable import Unflyable
from mplan.physics.constants import G0
from mplan.show import other_ships

SCENARIOS = Path(mplan.__file__).parents[1] / "scenarios"
GRAM = 1e-3  # kg
INJECTION = "translunar injection"


@pytest.fixture(scope="module")
def plan():
    return mplan.fly(mplan.load(SCENARIOS / "tanker.toml"), remedies=False)


@pytest.fixture(scope="module")
def transfers(plan):
    return [x for x in plan.flight.passages if x.event.do == "transfer propellant"]


def passage_of(plan, leg):
    return next(x for x in plan.flight.passages if getattr(x.event, "leg", "") == leg)


def held(state, element):
    """What the tanks of an element hold [kg]."""
    return sum(mass for (name, _), mass in state.ledger.levels.items() if name == element)


def test_it_closes(plan):
    assert plan.closes
    assert plan.decisions_open == 0


def test_both_propellants_of_the_stage_are_transferred(plan, transfers):
    """What its engine burns, one after the other; what thrusters of both burn stays."""
    assert [x.event.propellant for x in transfers] == ["liquid hydrogen", "liquid oxygen"]
    assert {x.event.target for x in transfers} == {passage_of(plan, INJECTION).event.element}


def test_what_settles_a_transfer_is_a_start(plan, transfers):
    """Each has one of its own; burns of weak thrusters run into one another, none ends early."""
    sheet = counters.of(plan.flight)
    found = [x for x in sheet.starts if x.what.startswith("settling for transfer")]
    assert [x.elapsed for x in found] == [x.moment.elapsed for x in transfers]
    assert [x.last for x in found] == [2, 3]  # the climb has settled once
    (tanks,) = (x for x in sheet.thruster_tanks if (x.element, x.engine) == found[0].key)
    assert tanks.settling > 0.0
    assert tanks.other == pytest.approx(0.0, abs=1e-6)
    assert min(x.shortest_pause for x in sheet.starts if x.shortest_pause is not None) == 0.0


def test_the_books_close_to_the_gram(plan, transfers):
    """What the tanker lifted off with boiled off, was lost on the way, arrived, or is left."""
    end = transfers[-1].after.ledger
    view = plan.scenario.views["tanker"]
    for passage in transfers:
        event = passage.event
        of = plan.scenario.elements[event.origin].tanks
        (key,) = [(event.origin, x) for x, t in of.items() if t.propellant == event.propellant]
        load = view.elements[event.origin].tanks[key[1]].load
        gone = end.boiled[key] + end.spilt[key] - end.received[key]
        assert load == pytest.approx(end.levels[key] + gone, abs=GRAM)
        taken = sum(
            end.received[name, x]
            for name, x in end.received
            if name == event.target
            and plan.scenario.elements[name].tanks[x].propellant == event.propellant
        )
        assert taken == pytest.approx(-end.received[key], abs=GRAM)
        assert end.spilt[key] == pytest.approx(0.03 * (end.spilt[key] + taken), abs=GRAM)


def test_nothing_leaves_the_craft_but_what_is_counted(transfers):
    """It weighs less by losses, boil-off, thrusters and what its crew send overboard, to the gram.

    The thrusters that settle draw what their impulse takes: mass, acceleration and time over the
    exhaust velocity. Attitude is in the thrusters' own account.
    """
    for passage in transfers:
        before, after, event = passage.before, passage.after, passage.event
        elements = before.scenario.elements
        craft = before.joined(event.target)
        spilt, boiled = (
            sum(getattr(after.ledger, name).values()) - sum(getattr(before.ledger, name).values())
            for name in ("spilt", "boiled")
        )
        engine = elements[event.target].engines["settling"]
        push = before.mass(craft) * event.settling_acceleration * event.duration
        settling = push / (engine.isp_vacuum * G0)
        attitude = sum(x.given for x in after.thrusters.drawn.values())
        attitude -= sum(x.given for x in before.thrusters.drawn.values())
        living = sum(
            before.ledger.stores(x, elements[x]) - after.ledger.stores(x, elements[x])
            for x in craft
        )
        lost = before.mass(craft) - after.mass(after.joined(event.target))
        assert spilt > 100.0
        assert settling > 50.0
        assert lost == pytest.approx(spilt + boiled + settling + attitude + living, abs=GRAM)


def test_the_stage_leaves_fuller(plan, transfers):
    """It has more than after its climb; with what little the tanker has left it could not leave."""
    stage = transfers[0].event.target
    after_climb = held(passage_of(plan, "parking orbit").before, stage)
    assert held(passage_of(plan, INJECTION).before, stage) > after_climb + 10e3
    tanks = "elements.tanker.tanks"
    empty = {f"{tanks}.hydrogen.load": "0.5 t", f"{tanks}.oxygen.load": "0.5 t"}
    without = walk.fly_like(plan.scenario.change(empty), plan.flight)
    short = without.burn_of(INJECTION)
    assert short.available < short.required
    assert plan.flight.burn_of(INJECTION).margin > 0.0


def test_the_clock_runs_on(plan):
    """Docking, both transfers and the parting take their time, before the burn is due."""
    moments = [x.elapsed for x in plan.flight.every_moment]
    assert all(one <= two for one, two in pairwise(moments))


def test_too_short_a_wait_counts_the_transfer(plan):
    """A burn for the Moon that is due while propellant is transferred is refused."""
    key = "ships.tanker.orbits.parking_revolutions"
    with pytest.raises(Unflyable, match="are ready for it; accepted: 43 or more"):
        walk.fly_like(plan.scenario.change(key, 40), plan.flight)


def test_a_line_says_what_moves(plan):
    """Arrived, lost and settled, with the basis of the losses."""
    lines = [x for x in other_ships.lines(plan) if x.startswith("transfer from tanker")]
    assert len(lines) == 2
    assert all("kg lost (estimate" in x and "settled at 0.1 mm/s2" in x for x in lines)
