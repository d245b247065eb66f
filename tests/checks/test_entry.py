"""Findings on the entry: each limit is found when it is broken, and silent when it is not."""

from __future__ import annotations

import re

import pytest

import mplan
from mplan.flight.through_air import limits
from mplan.physics import constants as c

SHELL = "elements.crew_module.aeroshell"
CHUTES = "elements.crew_module.parachutes"


def entry_findings(scenario, **changes):
    """Return the findings on the entry of a scenario with changes, keys with __ for dots."""
    changed = scenario.change({key.replace("__", "."): value for key, value in changes.items()})
    return [x for x in mplan.fly(changed).findings if x.check == "entry"]


def test_the_demo_entry_is_silent(landing_plan):
    """Nothing to find on an entry within its limits."""
    assert [x for x in landing_plan.findings if x.check == "entry"] == []


@pytest.mark.parametrize(
    ("key", "value", "text", "severity"),
    [
        ("orbits.entry_angle", "-8 deg", "is outside its corridor, too steep", "stops the flight"),
        ("orbits.entry_angle", "-4.6 deg", "its corridor, too shallow: it", "stops the flight"),
        (f"{SHELL}.acceleration_limit", 5.0, "decelerates the crew at", "stops the flight"),
        (f"{SHELL}.rated_heating", "3 MW/m2", "the heat flux at the nose", "stops the flight"),
        (f"{SHELL}.rated_heat_load", "200 MJ/m2", "the heat load at the nose", "stops the flight"),
        (
            f"{SHELL}.shield_areal_mass",
            "8 kg/m2",
            "kg/m2 too little",
            "stops the flight",
        ),
        (f"{SHELL}.effective_heat", "5 MJ/kg", "has 24.0 kg/m2 to ablate", "stops the flight"),
        (f"{CHUTES}.drogues.pressure_limit", "5 kPa", "the drogues open at a", "stops the flight"),
        (f"{CHUTES}.drogues.mach_limit", 0.3, "the drogues open at Mach", "stops the flight"),
        (f"{CHUTES}.mains.pressure_limit", "1.5 kPa", "the mains open at a", "stops the flight"),
        (f"{CHUTES}.mains.pressure_limit", "2 kPa", "with one drogue failed", "needs a decision"),
        (f"{CHUTES}.touchdown_limit", "9 m/s", "meets the water at", "stops the flight"),
        (f"{CHUTES}.touchdown_limit", "11 m/s", "with one main failed", "needs a decision"),
        (SHELL, None, "the atmospheric entry is not flown", "needs a decision"),
        (CHUTES, None, "[elements.crew_module.parachutes] not stated", "needs a decision"),
    ],
)
def test_each_limit_is_found(reference_landing, key, value, text, severity):
    """One sentence with what is there, the limit and where it comes from."""
    found = entry_findings(reference_landing, **{key.replace(".", "__"): value})
    hit = next(x for x in found if text in x.text)
    assert hit.severity == severity
    assert hit.subject == ("crew_module",)
    assert hit.limit
    assert hit.found
    assert hit.basis


def test_the_shield_is_held_against_the_load(reference_landing):
    """Enough at exactly what the load takes off; with either figure omitted nothing is said."""
    entry = mplan.fly(reference_landing).flight.end.entry
    assert entry.shield_required == entry.heat.upper_load / 21e6
    key = f"{SHELL}.shield_areal_mass".replace(".", "__")
    enough, short = (f"{entry.shield_required + x:.6f} kg/m2" for x in (1e-3, -1e-3))
    assert not entry_findings(reference_landing, **{key: enough})
    assert entry_findings(reference_landing, **{key: short})
    heat = f"{SHELL}.effective_heat".replace(".", "__")
    assert not entry_findings(reference_landing, **{key: "8 kg/m2", heat: None})
    assert not entry_findings(reference_landing, **{key: None, heat: "1 MJ/kg"})


def test_a_mass_is_no_mass_per_area(reference_landing):
    """The message names the key, what was found and what is accepted."""
    with pytest.raises(mplan.ScenarioError, match=r'found "24 kg".* a mass per area with its unit'):
        reference_landing.change(f"{SHELL}.shield_areal_mass", "24 kg")


def test_a_range_out_of_reach_is_told(reference_landing):
    """Without lift it falls where it falls, short of the place that was aimed for."""
    found = entry_findings(
        reference_landing,
        **{
            f"{SHELL}.lift_to_drag".replace(".", "__"): 0.0,
            f"{SHELL}.acceleration_limit".replace(".", "__"): 30.0,
        },
    )
    assert any("short of where its return was timed for" in x.text for x in found)


def test_land_is_called_ground(reference_landing):
    """What it meets is what the scenario says it comes down on."""
    found = entry_findings(
        reference_landing,
        **{
            f"{CHUTES}.surface".replace(".", "__"): "land",
            f"{CHUTES}.touchdown_limit".replace(".", "__"): "6 m/s",
        },
    )
    assert any("meets the ground at" in x.text for x in found)


@pytest.mark.parametrize(
    ("angle", "event", "why"),
    [
        ("-5.1 deg", "entry", r"its limit, in a second peak, after an arc up to \d+ km, at a bank"),
        ("-5.05 deg", "splash", r"timed for: nearer takes more than 10 g; entry angles from"),
    ],
)
def test_inside_the_corridor_the_reason_is_told(reference_landing, angle, event, why):
    """Held in, but not on the planned range within the limit: said, with the angles that are."""
    plan = mplan.fly(reference_landing.change("orbits.entry_angle", angle))
    entry = plan.flight.end.entry
    assert entry.corridor.holds(entry.angle)
    (found,) = (x for x in plan.findings if x.check == "entry" and x.event == event)
    assert re.search(why, found.text)
    assert re.search(r"from (-\d\.\d\d) to (-\d\.\d\d) deg reach the planned 2400 km", found.text)


def test_the_angles_that_are_told_serve(reference_landing):
    """Just inside either end the mission has no finding on its entry; just outside it has."""
    entry = mplan.fly(reference_landing).flight.end.entry
    angles = limits.served(entry)
    assert "g in a second peak" in angles.shallow_by
    step = 0.05 * c.DEG
    for end, inwards in ((angles.steep, step), (angles.shallow, -step)):
        for angle, fits in ((end + inwards, True), (end - inwards, False)):
            key = "orbits__entry_angle"
            found = entry_findings(reference_landing, **{key: f"{angle / c.DEG} deg"})
            assert (found == []) is fits, angle / c.DEG
