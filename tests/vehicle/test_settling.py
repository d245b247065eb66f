"""Who settles what, how hard and for how long."""

from __future__ import annotations

import pytest

from mplan.vehicle import layout, settling

LANDER = ("descent_stage", "ascent_stage")


def found(scenario, element, craft):
    engine = scenario.elements[element].engines["main"]
    return settling.settler(scenario, element, engine, craft)


def test_own_thrusters_come_first(reference_landing):
    """The ship settles itself, whatever is joined to it, with those that push forward."""
    ship = (*LANDER, "service_module", "crew_module")
    by = found(reference_landing, "service_module", ship)
    assert (by.element, by.name) == ("service_module", "thrusters")
    assert by.push == pytest.approx(4 * 440.0)


def test_settling_motors_do_it_where_there_are_any(reference_landing):
    """Solid motors of the second stage, all of them."""
    by = found(reference_landing, "second_stage", ("second_stage", "transfer_stage"))
    assert (by.name, by.push) == ("settling", pytest.approx(32e3))


def test_else_those_of_what_is_joined(reference_landing):
    """A descent stage without thrusters is settled by the ascent stage on it, and alone by none."""
    assert found(reference_landing, "descent_stage", LANDER).element == "ascent_stage"
    assert found(reference_landing, "descent_stage", ("descent_stage",)) is None


def test_what_is_named_is_taken_or_nothing(reference_landing):
    """`settled_by` overrules the order; once that element is gone nothing takes its place."""
    named = reference_landing.change(
        "elements.descent_stage.engines.main.settled_by", "crew_module.thrusters"
    )
    assert found(named, "descent_stage", (*LANDER, "crew_module")).element == "crew_module"
    assert found(named, "descent_stage", LANDER) is None


def test_what_is_shut_in_does_not_push(reference_landing):
    """In its bay the ascent stage's thrusters settle nothing."""
    assert found(reference_landing, "descent_stage", ("lander_bay", *LANDER)) is None


def test_the_longest_tank_decides_unless_a_time_is_stated(reference_landing):
    """Twice the push takes a time shorter by the square root of two."""
    element = reference_landing.elements["transfer_stage"]
    engine = element.engines["main"]
    held = settling.liquids(element, engine)
    vessels = [each.vessel for each in layout.of(element).tanks]
    assert max(x.length for x in held) == max(x.length for x in vessels)
    slow, fast = (settling.duration(held, engine, push) for push in (5e-3, 1e-2))
    assert slow / fast == pytest.approx(2.0**0.5)
    stated = reference_landing.change("elements.transfer_stage.engines.main.settling_time", "40 s")
    engine = stated.elements["transfer_stage"].engines["main"]
    assert settling.duration(held, engine, 5e-3) == 40.0


def test_without_a_build_a_tank_is_taken_as_large_as_its_element(reference_landing):
    """The longer fall is the safe guess."""
    bare = reference_landing.change(
        {"elements.service_module.build": None, "elements.service_module.length": "6.9 m"}
    )
    element = bare.elements["service_module"]
    (fuel, _) = settling.liquids(element, element.engines["main"])
    assert (fuel.length, fuel.radius) == (6.9, 2.0)


def test_solid_propellant_need_not_be_settled(reference_landing):
    """It does not flow."""
    element = reference_landing.elements["second_stage"]
    assert settling.liquids(element, element.engines["settling"]) == []
