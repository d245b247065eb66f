"""What a unit more does to the margins: against the rocket equation, in sign, and told apart."""

from __future__ import annotations

import pickle
from math import log

import pytest

import mplan
from mplan.flight import walk
from mplan.physics.constants import G0, HOUR
from mplan.studies.sensitivities import differences, exchange, variations
from mplan.studies.sensitivities.effects import BOTH, UP, Effect
from mplan.studies.sensitivities.variations import Variation
from tests.conftest import DEMO

ASKED = {
    ("dry mass", "transfer stage"),
    ("dry mass", "crew module"),
    ("specific impulse", "service module, main"),
}


@pytest.fixture(scope="module")
def found(landing_plan):
    return differences.of(landing_plan, lambda x: (x.kind, x.of) in ASKED, workers=1)


@pytest.fixture(scope="module")
def by_title(found):
    return {each.variation.title: each for each in found.found}


@pytest.fixture(scope="module")
def ratios(landing_plan):
    names = {"transfer_stage", "crew_module", "ascent_stage"}
    return {each.element: each for each in exchange.of(landing_plan, names)}


@pytest.fixture(scope="module")
def correction(landing_plan):
    """A burn that is free of gravity and so short that it loses nothing, its tanks full."""
    burn = landing_plan.flight.burn_of("outbound correction")
    assert sum(burn.losses.values()) == 0.0
    return burn


def test_dry_mass_against_the_rocket_equation(by_title, correction, landing_plan):
    """What a kilogram takes from a burn is the slope of Tsiolkovsky's equation by mass.

    Sutton & Biblarz 2017, ch. 4. It is a kilogram as stated: mass growth comes on top. Within
    1 %: the thrusters draw more for a heavier craft, and the burn's size is not quite the same.
    """
    scenario = landing_plan.scenario
    exhaust = scenario.elements[correction.element].engines[correction.engine].isp_vacuum * G0
    empty = correction.mass - correction.usable
    growth = 1.0 + scenario.margins.mass_growth
    slope = growth * exhaust * (1.0 / correction.mass - 1.0 / empty)
    effect = by_title["dry mass, crew module [kg]"].effects[correction.name]
    assert effect.value == pytest.approx(slope, rel=0.01)


def test_isp_against_the_rocket_equation(by_title, correction):
    """A second of specific impulse gives g0 ln(m0/m1), nothing else of the burn being changed.

    Within what solvers leave: no draw before this burn depends on the engine.
    """
    ratio = log(correction.mass / (correction.mass - correction.usable))
    effect = by_title["specific impulse, service module, main [s]"].effects[correction.name]
    assert effect.value == pytest.approx(G0 * ratio, abs=5.0 * differences.NOISE)


def test_signs(by_title):
    """Mass costs every burn that carries it, specific impulse helps those of its engine alone."""
    crew = by_title["dry mass, crew module [kg]"].effects
    carried = ("translunar injection", "lunar-orbit insertion", "homeward correction")
    assert all(crew[name].value < 0.0 for name in carried)
    isp = by_title["specific impulse, service module, main [s]"].effects
    assert isp["homeward correction"].value > 0.0
    assert isp["translunar injection"].slope == pytest.approx(0.0, abs=differences.NOISE)


def test_what_is_lost_in_solvers_is_not_told(by_title):
    """A stage dropped before the Moon is felt at the Moon by less than solvers leave."""
    effect = by_title["dry mass, transfer stage [kg]"].effects["rendezvous"]
    assert effect.lost
    assert effect.value is None
    assert effect.spread > abs(effect.slope)


def test_told_and_lost():
    """A slope of less than twice its spread is lost; nothing at all is told as nothing."""
    assert Effect(1.0, 0.6, None, None).value is None
    assert Effect(-1.0, 0.4, None, None).value == -1.0
    assert Effect(0.0, 0.0, None, None).value == 0.0


def test_limits_against_geometry_and_weight(landing_plan):
    """A metre of a stage takes a metre of the door, and what its propellant weighs off the pad.

    Nothing but the stack's own sums: lengths add up, masses too.
    """
    start, was = differences.reference(landing_plan), differences.before(landing_plan)
    longer = Variation("length", "transfer stage", "m", 0.05, ("transfer_stage",))
    flown = differences.measure(start, was, longer)
    door = "launch site, assembly-hall door, height with posts"
    assert flown.rooms[door].value == pytest.approx(-1.0)
    assert was.rooms[door].unit == "m"
    load = flown.rooms["launch site, launch platform, lift-off mass"]
    assert load.value == pytest.approx(-flown.lift_off / 1e3)


def test_limits_follow_burn_times(by_title, landing_plan):
    """A heavier craft burns longer, in proportion: the rocket equation at constant thrust.

    Sutton & Biblarz 2017, ch. 4: the propellant of a given delta-v is a share of the mass. Within
    2 %: the burn itself is not quite the same, and the correction before it takes more too.
    """
    burn = landing_plan.flight.burn_of("lunar-orbit insertion")
    grown = 1.0 + landing_plan.scenario.margins.mass_growth
    crew = by_title["dry mass, crew module [kg]"].rooms
    (longest,) = (x for x in crew if x.startswith("longest burn") and "service module" in x)
    assert crew[longest].value == pytest.approx(-grown * burn.duration / burn.mass, rel=0.02)


def test_both_sides_and_lift_off(found, by_title, landing_plan):
    assert {each.method for each in found.found} == {BOTH}
    growth = 1.0 + landing_plan.scenario.margins.mass_growth
    assert by_title["dry mass, crew module [kg]"].lift_off == pytest.approx(growth, rel=1e-6)
    assert found.tightest == landing_plan.tightest.name
    assert found.tightest in found.ends
    assert not found.stopped


def test_one_side(landing_plan):
    """Where less would be less than nothing, more alone is flown, and said so."""
    start, before = differences.reference(landing_plan), differences.before(landing_plan)
    dry = landing_plan.scenario.elements["escape_tower"].dry_mass
    tower = Variation("dry mass", "escape tower", "kg", 0.6 * dry, ("escape_tower",))
    flown = differences.measure(start, before, tower)
    assert flown.method == UP
    tightest = flown.effects["translunar injection"]
    assert tightest.more == pytest.approx(tightest.slope)


def test_not_flown(landing_plan):
    """What cannot be flown either way says why, and no figure is made up."""
    start, before = differences.reference(landing_plan), differences.before(landing_plan)
    far = Variation("dry mass", "escape tower", "kg", 1e12, ("escape_tower",))
    flown = differences.measure(start, before, far)
    assert (flown.method, flown.effects, flown.lift_off) == ("", {}, None)
    assert "accepted: a mass" in flown.trouble


def test_progress_and_stop(landing_plan):
    told = []
    some = differences.of(
        landing_plan,
        lambda x: x.kind == "duration",
        workers=1,
        done=lambda *counts: told.append(counts),
        stopped=lambda: True,
    )
    assert len(some.found) == 1
    assert some.stopped
    assert told == [(1, told[0][1])]
    assert told[0][1] > 1


def test_ctrl_c_keeps_the_ratios_flown(landing_plan, ratios):
    """A Ctrl-C after the first of two ratios leaves that one, the same as without."""

    def interrupted(done, total):
        if done == total - 1:
            raise KeyboardInterrupt

    names = {"transfer_stage", "crew_module"}
    first, _ = exchange.asked(landing_plan, names)
    (kept,) = exchange.of(landing_plan, names, done=interrupted)
    assert kept.element == first.path[0]
    assert kept == ratios[kept.element]


def test_margins_are_kept_by_what_pays(ratios, landing_plan):
    """The heavier mission with that propellant, laid out again here: every margin as it was."""
    start, kilograms = differences.reference(landing_plan), 40.0
    paying = exchange.payers(landing_plan.flight)
    amounts = [(x, kilograms * ratios["crew_module"].paid[x.burn]) for x in paying]
    dry = landing_plan.scenario.elements["crew_module"].dry_mass
    heavier = landing_plan.scenario.change("elements.crew_module.dry_mass", f"{dry + kilograms} kg")
    now = differences.margins(walk.fly(exchange.paid(heavier, amounts), start.climb))
    before = differences.margins(landing_plan.flight)
    # m/s: the ratio is that of a smaller step, and what solvers leave
    assert [now[x.burn] for x in paying] == pytest.approx(
        [before[x.burn] for x in paying], abs=0.02
    )


def test_exchange_ratios(ratios, landing_plan):
    """The further an element is carried, the more it costs; and nothing is lost from the sum."""
    first, *more = (ratios[x] for x in ("transfer_stage", "crew_module", "ascent_stage"))
    assert 1.0 < first.ratio < more[0].ratio < more[1].ratio
    growth = 1.0 + landing_plan.scenario.margins.mass_growth
    for each in ratios.values():
        propellant = sum(each.paid.values())
        assert growth + propellant < each.ratio < growth + 1.1 * propellant  # tanks are the rest
        assert each.left < 1e-3  # m/s a kg
        assert each.spread < 1e-3 * each.ratio
        assert not each.trouble


def test_what_starts_the_flights_goes_to_other_processes():
    """The flights of an earlier mission too: what comes back flies the same margins."""
    plan = mplan.fly(mplan.load(DEMO.parent / "lander_taken_up.toml"))
    start = differences.reference(plan)
    assert start.left
    there = pickle.loads(pickle.dumps(start))
    assert differences.margins(there.fly(there.scenario)) == differences.margins(plan.flight)
    assert all(there.left[x].scenario is each for x, each in there.scenario.left.items())


def test_stages_of_a_climb_pay_together(landing_plan):
    """Stages that burn out by plan have no margin of their own; no tank is counted twice."""
    paying = exchange.payers(landing_plan.flight)
    tanks = [(owner, tank) for each in paying for owner, tank, _ in each.loads]
    assert len(tanks) == len(set(tanks))
    climb = next(each for each in paying if each.burn == "translunar injection")
    assert {owner for owner, _, _ in climb.loads} == {
        "first_stage",
        "second_stage",
        "transfer_stage",
    }


def test_what_the_profile_lists_is_varied_too():
    """Coasts are lengthened where the events are not written in the file."""
    scenario = mplan.load(DEMO.parent / "orbit_and_return.toml")
    coast = next(x for x in variations.of(scenario) if x.kind == "duration" and len(x.path) == 2)
    index = int(coast.path[1])
    after = variations.varied(scenario, coast, 1.0)
    assert after.events[index].duration == pytest.approx(scenario.events[index].duration + HOUR)


def test_names_are_told_apart(reference_landing):
    """Two coasts of one name are two variations, each with a name of its own."""
    titles = [each.title for each in variations.of(reference_landing)]
    assert len(titles) == len(set(titles))
    assert "duration, coast to the correction (2) [h]" in titles


def test_elements_of_other_ships():
    """All that this mission launches is varied; what an earlier one left is as it was built."""
    both = variations.of(mplan.load(DEMO.parent / "two_launches.toml"))
    stages = {x.path[0] for x in both if x.kind == "length"}
    assert {"core_stage", "crew_core"} <= stages
    scenario = mplan.load(DEMO.parent / "lander_taken_up.toml")
    left = set(scenario.ships["lander"].stack)
    assert left
    assert not left & {x.path[0] for x in variations.of(scenario)}
