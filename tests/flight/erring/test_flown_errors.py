"""A flight that errs is the planned one where nothing errs, and pays for what does."""

from __future__ import annotations

from dataclasses import replace
from math import hypot

import pytest

import mplan
from mplan.flight import walk
from mplan.flight.erring.flown_errors import BurnError, FlownErrors
from mplan.flight.record import Flight
from mplan.physics.climb.launch_vehicle import Dispersions


def erring(plan: mplan.Plan, **otherwise: object) -> FlownErrors:
    """Return what a plan's main ship meets where all goes as planned, or otherwise."""
    flight = plan.flight
    dated = next(x.after for x in flight.passages if x.after.dated)
    planned = {
        i: BurnError(correction=x.burn.impulse)
        for i, x in enumerate(flight.passages)
        if x.burn and x.burn.leg.endswith("correction")
    }
    how = FlownErrors(flight.climb.attitudes, departing=dated.departing, burns=planned)
    return replace(how, **otherwise)


def flown(plan: mplan.Plan, scenario: mplan.Scenario, how: FlownErrors) -> Flight:
    return walk.fly(scenario, plan.flight.climb, erring={"": how})


def index_of(plan: mplan.Plan, leg: str) -> int:
    passages = plan.flight.passages
    return next(i for i, x in enumerate(passages) if x.burn and x.burn.leg == leg)


def test_without_errors_it_is_the_planned_flight(landing_plan):
    """The attitudes of the climb are read back from its track, between whose rows they turn.

    That leaves a decimetre a second at insertion; all burns after it are the planned ones.
    """
    again = flown(landing_plan, landing_plan.scenario, erring(landing_plan))
    for was, now in zip(landing_plan.burns, again.burns, strict=True):
        near = 0.2 if was.leg == "climb" else 1e-3
        assert now.required == pytest.approx(was.required, abs=near)
        assert now.elapsed == pytest.approx(was.elapsed, abs=0.01)


def test_the_planned_arc_serves_a_vehicle_that_weighs_more(landing_plan):
    """Lift-off and arc found anew, for a climb that takes a little longer, ask for the same.

    A quarter of a second in which a climb ends later moves the date of lift-off by as much.
    """
    heavy = landing_plan.scenario.change("margins.mass_growth", "3.5 %")
    assert heavy.margins.mass_growth > landing_plan.scenario.margins.mass_growth
    anew = walk.fly_like(heavy, landing_plan.flight)
    kept = flown(landing_plan, heavy, erring(landing_plan))
    for was, now in zip(anew.burns, kept.burns, strict=True):
        near = 0.5 if was.leg == "climb" else 0.01
        assert now.required == pytest.approx(was.required, abs=near)


def test_an_error_costs_what_is_burned_too_much_and_its_trim():
    assert BurnError(size=0.01).cost(100.0) == pytest.approx(2.0)
    assert BurnError(size=-0.01).cost(100.0) == pytest.approx(0.0)
    both = BurnError(size=-0.01, about_one=0.03, about_other=0.04)
    assert both.cost(100.0) == pytest.approx(hypot(1.0, 5.0) - 1.0)
    assert BurnError(beyond=-0.4).cost(3000.0) == pytest.approx(-0.4)


def test_what_a_burn_errs_by_is_among_its_losses(landing_plan):
    index = index_of(landing_plan, "lunar-orbit insertion")
    how = erring(landing_plan)
    how = replace(how, burns={**how.burns, index: BurnError(size=0.01)})
    burn = flown(landing_plan, landing_plan.scenario, how).burn_of("lunar-orbit insertion")
    assert burn.losses["execution"] == pytest.approx(0.02 * burn.impulse)
    assert burn.propellant > landing_plan.flight.burn_of("lunar-orbit insertion").propellant


def test_a_correction_is_as_large_as_its_errors_ask_for(landing_plan):
    how = erring(landing_plan)
    index = index_of(landing_plan, "outbound correction")
    how = replace(how, burns={**how.burns, index: BurnError(correction=3.25)})
    burn = flown(landing_plan, landing_plan.scenario, how).burn_of("outbound correction")
    assert burn.required == pytest.approx(3.25)


def test_a_climb_through_other_air_is_held_to_the_planned_attitudes(landing_plan):
    dense = erring(landing_plan, climb=Dispersions(air=1.1))
    climb = flown(landing_plan, landing_plan.scenario, dense).climb
    planned = landing_plan.flight.climb
    assert climb.dispersions.air == 1.1
    assert climb.left < planned.left
    assert climb.steering.pitchover_angle == planned.steering.pitchover_angle
    assert (
        landing_plan.flight.end.lift_off
        == flown(landing_plan, landing_plan.scenario, dense).end.lift_off
    )
