"""Cards: one for each burn and event, limits that hold when flown, ways out, stopping."""

from __future__ import annotations

import pytest

import mplan
from mplan.studies import cards, odds


@pytest.fixture(scope="module")
def plan(first_landing) -> mplan.Plan:
    return mplan.fly(first_landing)


@pytest.fixture(scope="module")
def made(plan):
    return tuple(cards.of(plan))


def card_of(made, title):
    return next(x for x in made if x.title == title)


def limit(card, what):
    return next(x for x in card.limits if x.what.startswith(what))


def test_a_card_for_each_burn_and_event_in_order(plan, made):
    assert len(made) == len(plan.flight.passages) == cards.count(plan)
    assert [x.number for x in made] == list(range(1, len(made) + 1))
    times = [x.elapsed for x in made]
    assert times == sorted(times)
    lit = [x.title for x in made if x.is_burn]
    assert sorted(lit) == sorted(burn.name for burn in plan.flight.burns if burn.lit)


def test_least_propellant_leaves_what_later_burns_ask(plan, made):
    """Flown with so much less, the tightest burn of the engine has no margin over, within 10 m/s.

    The load is less from the pad on: corrections and thrusters before then draw a little less too.
    """
    found = limit(card_of(made, "lunar-orbit insertion"), "propellant in service module")
    spare = found.planned - found.low
    assert spare > 100.0
    tanks = plan.scenario.elements["service_module"].tanks
    total = sum(x.load for x in tanks.values())
    changes = {
        f"elements.service_module.tanks.{name}.load": f"{x.load - spare * x.load / total:.3f} kg"
        for name, x in tanks.items()
    }
    less = mplan.fly(plan.scenario.change(changes), like=plan)
    own = [x for x in less.burns if x.element == "service_module" and "thrusters" not in x.engine]
    assert min(x.margin for x in own) == pytest.approx(0.0, abs=10.0)


def test_burns_may_be_off_by_three_deviations(made):
    """[errors] of the injection, a correction's own, [dispersions] of the others."""
    speed = limit(card_of(made, "translunar injection"), "velocity gained")
    assert (speed.high - speed.planned, speed.planned - speed.low) == pytest.approx((1.2, 1.2))
    assert "[errors]" in speed.source
    size = limit(card_of(made, "lunar-orbit insertion"), "velocity gained")
    assert size.high / size.planned == pytest.approx(1.006)
    assert "[dispersions]" in size.source
    aim = limit(card_of(made, "lunar-orbit insertion"), "direction off by")
    assert (aim.low, aim.high) == (None, pytest.approx(0.6))
    assert all(x in made[0].limits_from for x in ("[errors]", "[dispersions]"))


def test_without_spreads_the_cards_say_so(first_landing):
    bare = first_landing.change(
        {
            "dispersions": None,
            "errors": None,
            "allowances": {"outbound_correction": "15 m/s", "homeward_correction": "8 m/s"},
        }
    )
    found = tuple(cards.of(mplan.fly(bare), ways=False))
    assert "not stated: no [errors], no [dispersions]" in found[0].limits_from
    whats = [x.what for each in found for x in each.limits]
    assert not [x for x in whats if "velocity gained" in x or "direction" in x]
    assert [x for x in whats if x.startswith("propellant in")]


def test_limits_of_events(made):
    assert limit(card_of(made, "lift-off"), "thrust-to-weight to leave")
    assert limit(card_of(made, "powered descent"), "landing, hover left")
    assert limit(card_of(made, "atmospheric entry"), "entry, load on the crew")
    assert limit(card_of(made, "splashdown"), "entry, speed at touchdown")
    assert limit(card_of(made, "dock ascent stage to crew module"), "docking cycles")
    assert not card_of(made, "parking orbit").limits


def test_what_to_do_if_it_fails(made):
    """The landing has ways out at its ignition and half-way, by other engines than the lost one."""
    ways = card_of(made, "powered descent").ways
    assert {x.when for x in ways} == {"before it", "at ignition", "half-way"}
    lost = [x for x in ways if x.failure == "main engine lost"]
    assert all(x.left.kind == "open" for x in lost)
    for each in lost:
        assert all(burn.element != "descent_stage" for burn in each.left.way.burns)


def test_a_ship_without_crew_has_no_ways_out(two_launches):
    plan = mplan.fly(two_launches.scenario)
    found = tuple(cards.of(plan, ways=False))
    assert {x.ship for x in found} == {"", *plan.scenario.ships}
    assert all(not x.ways for x in found)
    assert all(not x.crew for x in found if x.ship)


def test_contact_on_cards(made):
    assert card_of(made, "lunar-orbit insertion").seen.why == "behind the Moon"
    assert card_of(made, "powered descent").link > 0.0
    assert card_of(made, "rest and checks in lunar orbit").silent > 3600.0


def test_stopped_and_counted(plan):
    told = []
    some = cards.of(
        plan,
        ways=False,
        done=lambda done, total: told.append((done, total)),
        stopped=lambda: len(told) == 3,
    )
    assert len(tuple(some)) == 3
    assert told == [(i, cards.count(plan)) for i in (1, 2, 3)]


def test_drawn_missions_give_margins(plan):
    """The least of a hundred margins is a limit, and no better than the plan's."""
    drawn = odds.of(plan, 20, workers=1)
    found = tuple(cards.of(plan, drawn, ways=False))
    left = limit(card_of(found, "translunar injection"), "velocity left after it")
    assert left.low < left.planned
    assert "20 missions" in found[0].limits_from


def test_every_card_with_people_aboard_was_looked_at(made):
    """From pad to splash the ways out are examined: none lies beside the mission."""
    for each in made:
        assert each.ways or not each.crew
        assert all("nothing is flown" not in x.left.reason for x in each.ways)
