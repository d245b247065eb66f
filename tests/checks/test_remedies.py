"""Remedies are flights: what is said of them is what flying them gives."""

from __future__ import annotations

from dataclasses import replace
from math import ceil
from types import SimpleNamespace

import pytest

import mplan
from mplan.checks.remedies import costs
from mplan.checks.remedies.trials import MOST, Trials
from mplan.vehicle import resize
from mplan.vehicle.stack import on_pad


def flown(scenario: mplan.Scenario, **changes: object) -> mplan.Plan:
    changed = {key.replace("__", "."): value for key, value in changes.items()}
    return mplan.fly(scenario.change(changed), remedies=True)


def test_a_shorter_stage_lacks_delta_v(overheight):
    """Each stage shortened to pass under the limit was flown, and each lacks delta-v."""
    finding = overheight.findings[0]
    assert finding.text == "the stack is 2.8 m too tall for the assembly-hall door"
    pair, *singles = finding.remedies
    assert {x.change for x in singles} == {
        "first stage 2.81 m shorter",
        "second stage 2.81 m shorter",
        "transfer stage 2.81 m shorter",
    }
    assert not any(x.closes for x in singles)
    assert all("translunar injection lacks" in x.outcome for x in singles)
    assert pair.change.startswith("first stage 2.81 m shorter, and ")
    assert pair.closes
    assert finding.unsolved == ""


def test_what_is_said_is_what_flying_gives(overheight):
    """The shortened stage flown by hand lacks just what the remedy says."""
    scenario = overheight.scenario
    over = ceil((on_pad(scenario).height - scenario.launch_site.pad.door_height) * 100.0) / 100.0
    by_hand = mplan.fly(resize.shortened(scenario, "second_stage", over), like=overheight)
    said = next(x for x in overheight.findings[0].remedies if x.change.startswith("second"))
    assert by_hand.findings[0].text in said.outcome


def test_more_propellant_closes_a_short_burn(reference_landing):
    """The least propellant that pays for the burn is found, and its cost on the pad told."""
    plan = flown(
        reference_landing,
        elements__descent_stage__tanks__MMH__load="2.9 t",
        elements__descent_stage__tanks__NTO__load="5.22 t",
    )
    more = next(
        x for x in plan.findings[0].remedies if "more propellant in the descent stage" in x.change
    )
    assert more.closes
    assert "lift-off mass +0." in more.outcome


def test_starts_are_saved_not_granted(reference_landing):
    """Another engine, another engine's burn or fewer burns; never the same engine with more."""
    plan = flown(reference_landing, elements__service_module__engines__main__starts=4)
    changes = [x.change for x in plan.findings[0].remedies]
    assert "homeward correction with the thrusters of the service module" in changes
    assert "straight into the circular lunar orbit, by one burn" in changes
    assert all(x.closes for x in plan.findings[0].remedies[:2])
    assert not any("qualified for" in x for x in changes)


def test_starts_of_a_leg_of_many_burns(reference_landing):
    """All starts of the rendezvous are counted: four too few are not mended by two fewer."""
    plan = flown(reference_landing, elements__ascent_stage__engines__thrusters__starts=3)
    finding = next(x for x in plan.findings if x.check == "starts")
    assert finding.text.startswith("thrusters of ascent stage is started 9 times")
    assert finding.remedies == ()
    assert "a direct rendezvous (still 7, limit 3 starts at most)" in finding.unsolved


def test_a_shorter_stay(reference_landing):
    """Too long a mission is offered the stay that fits."""
    plan = flown(reference_landing, mission__longest_duration="8.5 d")
    remedy = plan.findings[0].remedies[0]
    assert remedy.change.startswith("a stay of ")
    assert remedy.closes
    assert "mission -0." in remedy.outcome


def test_none_are_flown_unless_asked(reference_landing):
    """The slider path does without remedies."""
    plan = mplan.fly(reference_landing.change("mission.longest_duration", "8 d"))
    assert plan.findings[0].remedies == ()


def test_a_decision_is_given_remedies(reference_landing):
    """More storage for waste, its container weighed with it, settles the decision."""
    key = "elements.crew_module.supplies.urine_and_condensate_storage"
    plan = mplan.fly(reference_landing.change(key, "60 kg"), remedies=True)
    (finding,) = [x for x in plan.findings if x.rank == 1]
    (remedy,) = finding.remedies
    assert remedy.change.startswith("storage for 58.6 kg more urine and condensate")
    assert remedy.closes
    assert remedy.outcome.startswith("closes; lift-off mass +6 kg")


def test_what_closes_the_plan_is_told_of_every_stop(reference_landing):
    """Too few engines cause a lack of delta-v: one engine more is the answer to both."""
    plan = flown(reference_landing, elements__first_stage__engines__lift__count=5)
    stops = [x for x in plan.findings if x.rank == 0]
    assert len(stops) == 2
    assert {x.remedies[0].change for x in stops} == {"6 engines on the first stage"}
    assert all(x.remedies[0].closes for x in stops)


def test_flights_are_bounded(reference_landing):
    """Once as many flights are used up as a plan is worth, no further one is made."""
    trials = Trials()
    trials._spent = MOST
    assert trials.exhausted
    assert trials.fly(reference_landing) is None


def test_resizing_an_element_without_propellant(reference_landing):
    """A stage that holds none cannot be shortened by it."""
    with pytest.raises(ZeroDivisionError, match="division"):
        resize.length_per_kilogram(reference_landing.elements["lander_bay"])


@pytest.mark.parametrize(
    ("more", "said"), [(4.0, "+4 kg"), (-30.0, "-31 kg"), (110.0, "+0.11 t"), (2500.0, "+2.58 t")]
)
def test_a_small_mass_is_told_in_kilograms(reference_landing, more, said):
    """A canister more is a few kilograms, not 0.00 t; dry mass grows by 3 % more."""
    key = "elements.crew_module.dry_mass"
    dry = reference_landing.elements["crew_module"].dry_mass
    changed = reference_landing.change(key, f"{dry + more} kg")
    old, new = (
        SimpleNamespace(scenario=x, duration=0.0, ended=None, burns=(), others={})
        for x in (reference_landing, changed)
    )
    assert list(costs(old, new)) == [f"lift-off mass {said}"]


def test_the_price_is_that_of_both_stacks(landing_plan):
    """Height and lift-off mass are the differences of the two stacks, with their signs."""
    shorter = resize.shortened(landing_plan.scenario, "second_stage", 0.5)
    after = mplan.fly(shorter, like=landing_plan)
    said = list(costs(landing_plan.flight, after.flight))
    old, new = on_pad(landing_plan.scenario), on_pad(shorter)
    assert new.height == pytest.approx(old.height - 0.5, abs=1e-6)
    assert said[:2] == [f"lift-off mass {(new.mass - old.mass) / 1e3:+.2f} t", "height -0.50 m"]
    assert new.mass < old.mass


def test_the_price_of_one_more_engine(landing_plan):
    """Its unit cost where one is stated; that none is, otherwise. Mass as for one engine more."""
    key = "elements.first_stage.engines.lift"
    count = landing_plan.scenario.elements["first_stage"].engines["lift"].count
    priced = landing_plan.scenario.change(f"{key}.unit_cost", 12.5)
    before = replace(landing_plan.flight, scenario=priced)
    more = replace(landing_plan.flight, scenario=priced.change(f"{key}.count", count + 1))
    assert "cost +12.5 millions" in costs(before, more)
    unpriced = landing_plan.scenario.change(f"{key}.unit_cost", None)
    before = replace(landing_plan.flight, scenario=unpriced)
    more = replace(landing_plan.flight, scenario=unpriced.change(f"{key}.count", count + 1))
    assert "unit cost not stated" in costs(before, more)


def test_the_amount_that_is_written_was_flown(reference_landing):
    """The rounded amount, typed in by hand, closes the plan, and four fifths of it do not."""
    short = reference_landing.change(
        {
            "elements.descent_stage.tanks.MMH.load": "2.9 t",
            "elements.descent_stage.tanks.NTO.load": "5.22 t",
        }
    )
    plan = mplan.fly(short, remedies=True)
    said = next(x for x in plan.findings[0].remedies if "more propellant" in x.change)
    kilograms = float(said.change.split(" t more")[0]) * 1e3
    assert mplan.fly(resize.reloaded(short, "descent_stage", kilograms)).closes
    assert not mplan.fly(resize.reloaded(short, "descent_stage", 0.8 * kilograms)).closes
