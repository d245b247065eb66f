"""Findings on starts that nothing settles, on what boils off, and on propellant out of reach."""

from __future__ import annotations

import pytest

import mplan
from mplan.checks import boil_off
from mplan.scenario import ScenarioError
from mplan.vehicle import ledger


def findings(plan, check):
    return [finding for finding in plan.findings if finding.check == check]


def test_the_demos_settle_every_start(any_plan):
    """No finding, in any profile."""
    assert findings(any_plan, "settling") == []


@pytest.fixture(scope="module")
def unsettled(reference_landing):
    """The lander whose thrusters are on the ship's side when it goes down."""
    return mplan.fly(
        reference_landing.change(
            "elements.descent_stage.engines.main.settled_by", "service_module.thrusters"
        )
    )


def test_a_start_that_nothing_settles_stops_the_flight(unsettled):
    """Both burns of the descent stage, each in one sentence that says what would do."""
    found = findings(unsettled, "settling")
    assert [x.event for x in found] == ["descent-orbit insertion", "powered descent"]
    assert found[0].severity == "stops the flight"
    assert found[0].text == (
        "descent-orbit insertion starts with unsettled propellant: descent stage requires "
        "settling and service_module.thrusters is not joined to it; "
        "state thrusters of its own, or settled_by"
    )
    assert not unsettled.closes


def test_thrusters_that_run_dry(reference_landing):
    """A time that the settling tank cannot pay for is told with what lacks."""
    plan = mplan.fly(
        reference_landing.change(
            {
                "elements.transfer_stage.engines.main.settling_time": "120 s",
                "elements.transfer_stage.tanks.settling.load": "30 kg",
            }
        )
    )
    (found,) = findings(plan, "settling")
    done = next(x for x in plan.burns if x.leg == "translunar injection").settling
    assert found.severity == "stops the flight"
    assert f"lacks {done.lacks:.1f} kg to settle" in found.text
    # 30 kg less 1.2 % and what the climb took; 120 s take 43.5 kg.
    assert done.lacks == pytest.approx(43.5 - 30.0 * 0.988 + 2.5, abs=0.1)


def test_a_push_that_surface_tension_withstands(reference_landing):
    """Microscopic thrust settles nothing, whatever the time."""
    weak = {
        "elements.service_module.engines.thrusters.thrust_vacuum": "0.05 N",
        "elements.service_module.engines.main.settling_time": "20 s",
    }
    plan = mplan.fly(reference_landing.change(weak))
    found = findings(plan, "settling")
    first = found[0]
    assert (first.event, first.severity) == ("outbound correction", "stops the flight")
    assert "too little against surface tension" in first.text
    assert float(first.found) < 10.0


def test_a_gentle_push_is_told_for_information(reference_landing):
    """It settles, but below what planners use."""
    gentle = {
        "elements.service_module.engines.thrusters.thrust_vacuum": "8 N",
        "elements.service_module.engines.main.settling_time": "60 s",
    }
    found = findings(mplan.fly(reference_landing.change(gentle)), "settling")
    assert "outbound correction is settled at a lower acceleration than is usual" in [
        x.text for x in found
    ]
    assert {x.severity for x in found} == {"for information"}


def test_boil_off_is_told_with_what_it_leaves(landing_plan):
    """One sentence, by tank, and what of it counts for the last burn."""
    (found,) = findings(landing_plan, "boil-off")
    assert found.severity == "for information"
    lost = landing_plan.flight.end.ledger.boiled
    hydrogen, oxygen = (lost["transfer_stage", tank] for tank in ("hydrogen", "oxygen"))
    said = f"loses {hydrogen:.0f} kg of hydrogen and {oxygen:.0f} kg of oxygen by boiling off"
    assert said in found.text
    tanks = landing_plan.scenario.elements["transfer_stage"].tanks
    heat = sum(tanks[tank].heat_input for tank in ("hydrogen", "oxygen")) / 1e3
    assert found.found == f"{hydrogen + oxygen:.0f} kg at a heat leak of {heat:.1f} kW"
    assert found.basis == "heat_input or boil_off of its tanks"


def test_an_assumed_loss_says_so(reference_landing):
    """A tank that states nothing is common practice's, and has no source."""
    plan = mplan.fly(
        reference_landing.change("elements.transfer_stage.tanks.oxygen.heat_input", None)
    )
    (found,) = findings(plan, "boil-off")
    assert "common practice, no source" in found.basis


def test_propellant_in_reach_but_not_its_own(reference_landing):
    """A short ship that carries a full lander is told why that does not help."""
    short = {
        "elements.service_module.tanks.MMH.load": "3 t",
        "elements.service_module.tanks.NTO.load": "5.4 t",
    }
    plan = mplan.fly(reference_landing.change(short))
    found = {x.event: x for x in findings(plan, "crossfeed")}
    full, stages = ledger.filled(plan.scenario), ("descent_stage", "ascent_stage")
    engines = [plan.scenario.elements[name].engines["main"] for name in stages]
    held = [full.usable(*pair) / 1e3 for pair in zip(stages, engines, strict=True)]
    said = found["lunar-orbit insertion"].text
    assert f"draw on {held[0]:.1f} t in the descent stage and " in said
    assert f"{held[1]:.1f} t in the ascent stage" in said
    assert "trans-Earth injection" not in found  # the lander is gone


def test_a_tank_of_another_element_is_refused(reference_landing):
    """With what to write instead."""
    with pytest.raises(ScenarioError, match=r'unless the engine says crossfeed = "descent_stage"'):
        reference_landing.change("elements.ascent_stage.engines.main.fuel", "descent_stage.MMH")


def test_what_boils_off_before_the_last_burn_is_a_part(landing_plan):
    """The transfer stage loses more after its last burn; only what it lost before is told so."""
    (lost,) = (x for x in boil_off.lost(landing_plan.flight) if x.element == "transfer_stage")
    (finding,) = (x for x in findings(landing_plan, "boil-off") if x.event == "transfer_stage")
    last = [x for x in landing_plan.burns if x.element == "transfer_stage"][-1]
    assert lost.before_last_burn == last.boiled
    assert 0.0 < lost.before_last_burn < lost.total
    assert f"{last.boiled:.0f} kg of it before its last burn" in finding.text
