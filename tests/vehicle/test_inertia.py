"""Mass properties: cylinders, the parallel axis, and how elements stand on one another."""

from __future__ import annotations

from pathlib import Path

import pytest

import mplan
from mplan.vehicle import inertia
from mplan.vehicle.inertia import Cylinder
from mplan.vehicle.ledger import filled


def test_a_body_cut_in_two_is_the_body():
    """Two halves of a cylinder joined have the moments of the whole, solid or hollow."""
    for hollow in (False, True):
        whole = inertia.joined([Cylinder(12.0, 3.0, 0.5, 6.0, hollow)], 6.0)
        halves = [Cylinder(6.0, 1.5, 0.5, 3.0, hollow), Cylinder(6.0, 4.5, 0.5, 3.0, hollow)]
        parts = inertia.joined(halves, 6.0)
        assert parts.roll == pytest.approx(whole.roll)
        assert parts.pitch == pytest.approx(whole.pitch)
        assert parts.centre == pytest.approx(3.0)


def test_a_dumb_bell():
    """Two far bodies have their reduced mass times the distance squared, near enough."""
    pair = inertia.joined(
        [Cylinder(1.0, 0.0, 0.1, 0.1, False), Cylinder(3.0, 20.0, 0.1, 0.1, False)], 20.0
    )
    assert pair.centre == pytest.approx(15.0)
    assert pair.pitch == pytest.approx(0.75 * 400.0, rel=1e-3)


def test_stations_on_the_pad(reference_landing):
    """Lengths add up; the lander stands inside its bay and adds none."""
    lengths = inertia.lengths(reference_landing)
    feet, height = inertia.stations(reference_landing.stack, reference_landing, lengths)
    outer = [x for x in reference_landing.stack if reference_landing.elements[x].inside is None]
    assert height == pytest.approx(sum(lengths[name] for name in outer))
    assert feet["descent_stage"] == feet["lander_bay"]
    assert feet["ascent_stage"] == feet["lander_bay"] + lengths["descent_stage"]
    assert feet["service_module"] == feet["lander_bay"] + lengths["lander_bay"]


def test_boosters_stand_beside(reference_landing):
    """What stands beside a stage adds no height, and rolls about the stack's axis."""
    body = Cylinder(10.0, 3.0, 0.5, 6.0, False)
    assert inertia.joined([body._replace(away=4.0)], 6.0).roll == pytest.approx(10.0 * 16.125)
    spun, plain = (inertia.joined([body._replace(away=x)], 6.0).pitch for x in (4.0, 0.0))
    assert spun - plain == pytest.approx(10.0 * 16.0 / 2.0)
    beside = reference_landing.change("elements.escape_tower.beside", "first_stage")
    lengths = inertia.lengths(beside)
    feet, height = inertia.stations(beside.stack, beside, lengths)
    _, whole = inertia.stations(reference_landing.stack, reference_landing, lengths)
    assert feet["escape_tower"] == 0.0
    assert whole - height == pytest.approx(lengths["escape_tower"])


def test_docked_nose_to_nose(reference_landing):
    """Out of its bay the lander hangs on the crew module's nose, its legs outwards."""
    craft = ("descent_stage", "ascent_stage", "service_module", "crew_module")
    order = inertia.in_line(craft, reference_landing)
    assert order == ("service_module", "crew_module", "ascent_stage", "descent_stage")
    stack = inertia.in_line(reference_landing.stack, reference_landing)
    assert stack == reference_landing.stack


def test_a_ship_that_lands_whole_stands_on_its_descent_stage():
    """A descent stage without a cabin hangs from nobody's nose: it is below, as in the stack."""
    scenario = mplan.load(Path(__file__).parents[2] / "scenarios" / "whole_ship_down.toml")
    craft = ("descent_stage", "return_stage", "crew_module")
    assert inertia.in_line(craft, scenario) == craft
    assert inertia.hanging(craft, scenario) == ()


def test_propellant_moves_the_centre(reference_landing):
    """With its propellant burned the stack's centre climbs and it turns more easily."""
    full = filled(reference_landing)
    lift = reference_landing.elements["first_stage"].engines["lift"]
    empty = full.after_burn("first_stage", "lift", lift, 1.7e6, 160.0)
    before, after = (
        inertia.of(reference_landing.stack, reference_landing, tanks, {}) for tanks in (full, empty)
    )
    assert before.mass - after.mass == pytest.approx(1.7e6)
    assert after.centre > before.centre + 10.0
    assert after.roll < before.roll


def test_extra_mass_counts(reference_landing):
    """Crew and cargo weigh where they are."""
    craft = ("service_module", "crew_module")
    tanks = filled(reference_landing)
    light = inertia.of(craft, reference_landing, tanks, {})
    heavy = inertia.of(craft, reference_landing, tanks, {"crew_module": 330.0})
    assert heavy.mass - light.mass == pytest.approx(330.0)
    assert heavy.centre > light.centre
