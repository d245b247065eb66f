"""Figures beside their limits: what is told is what was flown, and a row beyond its limit stops."""

from __future__ import annotations

import pytest

import mplan
from mplan.checks import limits
from mplan.checks.limits import LimitRow
from mplan.scenario import Engine
from mplan.show import limits as written
from mplan.vehicle.ledger import Ledger, filled

SERVICE, DESCENT = "elements.service_module", "elements.descent_stage"
CREW = "elements.crew_module.supplies"


def rows(plan: mplan.Plan, kind: str) -> list[LimitRow]:
    return [x for x in limits.of(plan.flight) if x.kind == kind]


def tightest(plan: mplan.Plan, kind: str) -> LimitRow:
    return next(x for x in limits.tightest(limits.of(plan.flight)) if x.kind == kind)


def engine(**other: object) -> Engine:
    stated = {
        "count": 1,
        "thrust_vacuum": "50 kN",
        "isp_vacuum": "320 s",
        "starts": 3,
        "qualified_duration": "900 s",
        "fuel": "fuel",
        "oxidiser": "oxidiser",
        "mixture_ratio": 4,
    }
    return Engine.model_validate({**stated, **other})


def ledger(oxidiser: float, fuel: float, unusable: float = 0.0) -> Ledger:
    levels = {("stage", "oxidiser"): oxidiser, ("stage", "fuel"): fuel}
    return Ledger(levels, dict.fromkeys(levels, unusable), {}, {})


def test_the_mixture_ratio_strands_what_the_other_tank_cannot_match():
    """By hand: 2 t of fuel take 8 t of oxidiser at 4 to 1; of 10 t, 2 t stay. Residuals apart."""
    assert ledger(10e3, 2e3).stranded("stage", engine()) == pytest.approx(
        {"oxidiser": 2e3, "fuel": 0.0}
    )
    assert ledger(6e3, 2e3).stranded("stage", engine()) == pytest.approx(
        {"oxidiser": 0.0, "fuel": 500.0}
    )
    kept = ledger(10e3, 2e3, unusable=100.0).stranded("stage", engine())
    assert kept == pytest.approx({"oxidiser": 9900.0 - 4 * 1900.0, "fuel": 0.0})
    alone = ledger(10e3, 2e3).stranded("stage", engine(oxidiser=None, mixture_ratio=None))
    assert alone == {"fuel": 0.0}


def test_stranded_propellant_of_a_flight(reference_landing):
    """A ton of oxidiser too much stays behind, a ton more than before; nothing else changes."""
    before, after = (
        {x.name: x for x in rows(mplan.fly(each), "stranded propellant")}
        for each in (
            reference_landing,
            reference_landing.change(f"{DESCENT}.tanks.NTO.load", "6.6 t"),
        )
    )
    load = reference_landing.elements["descent_stage"].tanks["NTO"].load
    residuals = reference_landing.margins.residuals
    kept = {x: row.used / 100.0 for x, row in before.items()}
    name = "NTO in descent stage"
    more = after[name].used / 100.0 * 6600.0 - kept.get(name, 0.0) * load
    assert more == pytest.approx((6600.0 - load) * (1.0 - residuals), abs=1.0)
    assert after[name].note == f"{after[name].used * 66.0:,.0f} kg"


def test_starts_and_seconds_are_those_of_the_ledger(any_plan):
    """Nothing is worked out a second time."""
    ledger = any_plan.flight.end.ledger
    assert sorted(x.used for x in rows(any_plan, "starts")) == sorted(ledger.starts.values())
    assert sorted(x.used for x in rows(any_plan, "burn time")) == sorted(ledger.seconds.values())


@pytest.mark.parametrize(
    ("changes", "kind", "check"),
    [
        ({f"{SERVICE}.engines.main.starts": 4}, "starts", "starts"),
        (
            {f"{DESCENT}.engines.main.qualified_duration": "500 s"},
            "burn time",
            "qualified duration",
        ),
        ({f"{SERVICE}.engines.main.longest_burn": "200 s"}, "longest burn", "longest burn"),
        ({f"{SERVICE}.engines.main.restart_interval": "5 h"}, "restart interval", "restart"),
        ({"mission.longest_duration": "8 d"}, "mission", "duration"),
        ({f"{CREW}.potable_water": "50 kg"}, "supply", "supplies"),
        ({f"{CREW}.faecal_storage": "1 kg"}, "storage for waste", "supplies"),
        ({"elements.ascent_stage.power.stored_energy": "2 kWh"}, "energy", "power"),
        ({f"{SERVICE}.engines.main.gimbal": "0.1 deg"}, "control authority", "control"),
    ],
)
def test_a_row_beyond_its_limit_has_its_finding(
    reference_landing, landing_plan, changes, kind, check
):
    """What the checks find is beyond its limit here too, with the same figures; else nothing is.

    Findings tell what is required as the limit, rows what there is.
    """
    assert min(x.left for x in rows(landing_plan, kind)) >= 0.0
    plan = mplan.fly(reference_landing.change(changes))
    row = tightest(plan, kind)
    assert row.left < 0.0
    figures = [{x.limit.split()[0], x.found.split()[0]} for x in plan.findings if x.check == check]
    assert {written.limit(row).split()[0], written.used(row).split()[0]} in figures


def test_what_lasts_least_is_the_tightest_supply(landing_plan):
    """Of supplies the one with least days left is told, whatever share of it is used."""
    shown = tightest(landing_plan, "supply")
    assert shown.days_left == min(x.days_left for x in rows(landing_plan, "supply"))
    assert written.left(shown) == f"{shown.days_left:.1f} d"


def test_an_engine_that_may_burn_once_is_not_the_tightest(landing_plan):
    """One start of one is by plan; it is told where there is nothing else."""
    all_starts = rows(landing_plan, "starts")
    assert any((x.used, x.limit) == (1, 1) for x in all_starts)
    assert tightest(landing_plan, "starts").limit > 1
    once = [x for x in all_starts if x.limit == 1]
    assert limits.tightest(once) == (once[0],)


def test_cost_is_the_sum_of_what_engines_state(landing_plan):
    """By hand from the scenario; a type on two stages is developed once."""
    scenario = landing_plan.scenario
    engines = [x for n in scenario.stack for x in scenario.elements[n].engines.values()]
    paid = sum(x.count * x.unit_cost for x in engines if x.unit_cost is not None)
    (units,), (once,) = (rows(landing_plan, x) for x in ("unit cost", "nonrecurring cost"))
    assert units.used == pytest.approx(paid)
    assert units.name == (
        f"{sum(x.unit_cost is not None for x in engines)} of {len(engines)} "
        "kinds of engines state it"
    )
    types = {x.label: x.nonrecurring_cost for x in engines if x.nonrecurring_cost is not None}
    assert once.used == pytest.approx(sum(types.values()))


def test_cost_that_nobody_states_is_not_stated(reference_landing):
    """No zero stands for a price that is unknown."""
    unset = {
        f"elements.{name}.engines.{key}.unit_cost": None
        for name in reference_landing.stack
        for key in reference_landing.elements[name].engines
    }
    (units,) = rows(mplan.fly(reference_landing.change(unset)), "unit cost")
    assert units.used is None
    assert (written.used(units), written.limit(units)) == ("not stated", "-")


def test_full_tanks_strand_by_their_loads(landing_plan):
    """On the pad as in flight: what is stranded and what can be drawn make up the tanks."""
    scenario, full = landing_plan.scenario, filled(landing_plan.scenario)
    for name in scenario.stack:
        for each in scenario.elements[name].engines.values():
            there = [
                full.levels[name, tank] - full.unusable[name, tank]
                for tank in (each.fuel, each.oxidiser)
                if tank
            ]
            whole = sum(full.stranded(name, each).values()) + full.usable(name, each)
            assert whole == pytest.approx(sum(there))


def test_control_is_named_by_when_it_is_asked(landing_plan):
    """At a burn, or after one: "at after rendezvous" would be neither."""
    names = [x.name for x in rows(landing_plan, "control authority")]
    after = [x for x in names if " after " in x]
    assert after
    assert not [x for x in after if " at after " in x]
    assert [x for x in names if " at " in x]
