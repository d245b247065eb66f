"""Electric energy: who feeds whom, what is left, and what is told where it does not last."""

from __future__ import annotations

from dataclasses import replace
from math import asin, pi

import pytest

import mplan
from mplan.checks import of as findings_on
from mplan.checks import power
from mplan.checks.power import KWH
from mplan.flight.record import CrewStretch, Flight, StandbyStretch
from mplan.physics.constants import HOUR, R_MOON
from mplan.vehicle.living.energy import asleep, serving
from tests.conftest import DEMO

STACKED = ("descent_stage", "ascent_stage", "service_module", "crew_module")
LOW = R_MOON + 110e3


def flight_of(plan: mplan.Plan, *stretches: CrewStretch, **changes: object) -> Flight:
    """A flight that is nothing but these stretches; keys of changes have __ for a dot."""
    dotted = {f"elements.{key.replace('__', '.')}": value for key, value in changes.items()}
    scenario = plan.scenario.change(dotted)
    flight = replace(plan.flight, scenario=scenario)
    vars(flight)["stretches"] = stretches  # where the flight keeps what it has worked out
    return flight


def of(flight: Flight) -> dict[str, power.PowerUse]:
    return {use.element: use for use in power.used(flight)}


@pytest.mark.parametrize(
    ("cabin", "craft", "group"),
    [
        ("crew_module", STACKED, ["service_module", "crew_module"]),
        ("ascent_stage", STACKED, ["descent_stage", "ascent_stage"]),
        ("crew_module", ("crew_module",), ["crew_module"]),
        ("ascent_stage", ("descent_stage", "ascent_stage"), ["descent_stage", "ascent_stage"]),
        ("crew_module", (), ["crew_module"]),
    ],
)
def test_a_cabin_draws_on_what_serves_it(reference_landing, cabin, craft, group):
    """Elements without seats below it serve, down to the next cabin."""
    assert [name for name, _ in serving(cabin, craft, reference_landing)] == group


def test_the_lowest_is_drawn_first(landing_plan):
    """Both loads come out of the descent stage until it is empty, then out of the ascent stage."""
    both = ("descent_stage", "ascent_stage")
    found = of(flight_of(landing_plan, CrewStretch("ascent_stage", 2, 40.0 * HOUR, both)))
    # 2.2 kW for 40 h are 88 kWh; the descent stage holds 70.
    assert found["descent_stage"].drawn / KWH == pytest.approx(70.0)
    assert found["ascent_stage"].drawn / KWH == pytest.approx(18.0)
    assert found["descent_stage"].used / KWH == pytest.approx(44.0)


def test_nothing_is_drawn_while_a_supply_covers_the_loads(landing_plan):
    """A surplus is not stored either."""
    stretch = CrewStretch("crew_module", 3, 10.0 * HOUR, ("service_module", "crew_module"))
    found = of(flight_of(landing_plan, stretch, service_module__power__supply="5 kW"))
    assert [use.drawn for use in found.values()] == [0.0, 0.0]
    assert found["service_module"].left / KWH == pytest.approx(900.0)
    assert found["service_module"].days_left is None


def test_panels_lose_the_shadow_of_the_moon(landing_plan):
    """In a low orbit they give for 1 - asin(R/r)/pi of the time, elsewhere all the time."""
    craft = ("service_module", "crew_module")
    panels = {"service_module__power__supply": "3.8 kW", "service_module__power__solar": True}
    free = flight_of(landing_plan, CrewStretch("crew_module", 3, 10.0 * HOUR, craft), **panels)
    low = flight_of(landing_plan, CrewStretch("crew_module", 3, 10.0 * HOUR, craft, LOW), **panels)
    assert of(free)["service_module"].drawn == pytest.approx(0.0, abs=1.0)
    dark = asin(R_MOON / LOW) / pi
    assert of(low)["service_module"].drawn / KWH == pytest.approx(38.0 * dark)
    assert 0.38 < dark < 0.40  # three quarters of an hour of a two-hour revolution


def test_energy_is_neither_lost_nor_made(landing_plan):
    """Loads are what supplies, stores and what is lacking come to, over the whole mission."""
    uses = power.used(landing_plan.flight)
    fed = sum(use.supplied + use.drawn + use.lacking for use in uses)
    assert fed == pytest.approx(sum(use.used for use in uses))
    lived = sum(x.duration for x in landing_plan.flight.stretches if x.element == "crew_module")
    assert of(landing_plan.flight)["crew_module"].time == pytest.approx(lived)


def test_stand_by_loads_are_fed_until_the_store_is_empty(landing_plan):
    """Two sleepers share their stores; when nothing is left is told, and what was missed."""
    loads = {
        "descent_stage__power__standby_load": "1 kW",
        "ascent_stage__power__standby_load": "0.5 kW",
    }
    flight = flight_of(landing_plan, **loads)
    sleepers = ("descent_stage", "ascent_stage")
    vars(flight)["on_standby"] = (StandbyStretch(sleepers, 100.0 * HOUR, None, 10.0 * HOUR),)
    found = of(flight)
    # 1.5 kW for 100 h are 150 kWh; 70 and 24 are stored, which last 62.7 h.
    assert found["descent_stage"].drawn / KWH == pytest.approx(70.0)
    assert found["ascent_stage"].drawn / KWH == pytest.approx(24.0)
    assert found["ascent_stage"].missed / KWH == pytest.approx(56.0)
    assert found["ascent_stage"].empty / HOUR == pytest.approx(10.0 + 94.0 / 1.5)
    assert found["ascent_stage"].time == 0.0
    (finding,) = power.findings(flight)
    assert finding.text == (
        "ascent stage with descent stage runs out of electric energy on stand-by, 3.0 d after "
        "lift-off: 56.0 kWh are lacking"
    )


def test_nobody_sleeps_without_a_load(landing_plan):
    """Without a stand-by load nothing is counted; with one, all of the craft that nobody uses."""
    scenario, both = landing_plan.scenario, ("descent_stage", "ascent_stage")
    assert landing_plan.flight.on_standby == ()
    assert asleep(STACKED, ["crew_module"], scenario) == ()
    loaded = scenario.change("elements.ascent_stage.power.standby_load", "90 W")
    assert tuple(name for name, _ in asleep(STACKED, ["crew_module"], loaded)) == both
    assert asleep(both, ["ascent_stage"], loaded) == ()


def test_the_demos_have_energy_enough(any_plan):
    """No demo runs out, and something is left in every cabin."""
    assert list(power.findings(any_plan.flight)) == []
    assert of(any_plan.flight)["crew_module"].left > 0.0


def test_what_runs_out_is_told(landing_plan):
    """One finding for the cabin, with what it lacks together with what serves it."""
    both = ("descent_stage", "ascent_stage")
    flight = flight_of(landing_plan, CrewStretch("ascent_stage", 2, 50.0 * HOUR, both))
    (finding,) = power.findings(flight)
    assert finding.severity == "stops the flight"
    assert finding.text == (
        "ascent stage with descent stage runs out of electric energy: 16.0 kWh are lacking, "
        "50 h in use"
    )
    assert (finding.limit, finding.found) == ("110.0 kWh at least", "94.0 kWh")


def test_the_remedy_is_flown(reference_landing):
    """As much more as is lacking closes the plan again."""
    short = reference_landing.change("elements.ascent_stage.power.stored_energy", "12 kWh")
    plan = mplan.fly(short, remedies=True)
    (finding,) = (x for x in plan.findings if x.check == "power")
    own, below, shorter = finding.remedies
    assert "kWh more stored in the ascent stage" in own.change
    assert "kWh more stored in the descent stage" in below.change
    assert shorter.change.startswith("a stay of ")
    assert own.closes
    assert below.closes
    assert shorter.closes


def test_a_load_that_nobody_ever_draws_is_told():
    """Cargo alone: a load in use is not looked at, and it is said so; a stand-by load is."""
    cargo = mplan.load(DEMO.parent / "cargo_down.toml")
    lander = next(name for name, each in cargo.elements.items() if each.role == "descent stage")
    bare = {"stored_energy": "0 kWh", "supply": "0 kW", "load": "1 kW"}
    (told,) = power.never_drawn(mplan.fly(cargo.change(f"elements.{lander}.power", bare)).flight)
    assert (told.severity, told.subject) == ("for information", (lander, "load"))
    assert "is not examined; standby_load is what it draws alone" in told.text
    bare["standby_load"] = "1 kW"
    (told,) = power.findings(mplan.fly(cargo.change(f"elements.{lander}.power", bare)).flight)
    assert told.severity == "stops the flight"


def test_what_a_ship_draws_once_it_is_met_is_drawn():
    """Neither its flight nor its wait says that nobody uses it: the mission as a whole does."""
    both = mplan.fly(mplan.load(DEMO.parent / "two_launches.toml"))
    assert [name for name, wait in both.flight.waits.items() if [*power.never_drawn(wait)]]
    assert not [x for x in findings_on(both.flight) if x.figures == power.NEVER]
