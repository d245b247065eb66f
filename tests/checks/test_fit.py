"""What has no room where the scenario puts it is told in one sentence."""

from __future__ import annotations

import pytest

import mplan
from mplan.checks import fit

FIRST, TRANSFER = "elements.first_stage", "elements.transfer_stage"
TOO_SMALL = "the lander bay is too small for its propellant, hardware and what stands inside it"
SERVICE, DESCENT = "elements.service_module", "elements.descent_stage"


def found(scenario: mplan.Scenario, changes: dict[str, object]) -> list[tuple[str, str]]:
    return [(x.severity, x.text) for x in fit.of(scenario.change(changes))]


@pytest.mark.parametrize(
    "name", ["reference_landing", "overheight", "orbit_and_return", "round_the_moon"]
)
def test_the_demos_fit(name, request):
    folder = request.path.parents[1] / "missions"
    assert list(fit.of(mplan.load(folder / f"{name}.toml"))) == []


@pytest.mark.parametrize(
    ("changes", "severity", "text"),
    [
        (
            {f"{TRANSFER}.tanks.hydrogen.load": "5 t"},
            "needs a decision",
            "the domes of the transfer stage's hydrogen tank alone hold more than its load: "
            "it stays part empty",
        ),
        (
            {f"{SERVICE}.build.diameter": "1.8 m"},
            "stops the flight",
            "the tanks of the service module are wider than it",
        ),
        (
            {f"{DESCENT}.engines.main.exit_diameter": "1.4 m"},
            "stops the flight",
            "the engine of the descent stage does not fit between its tanks",
        ),
        (
            {f"{FIRST}.build.skirt_diameter": "6 m"},
            "needs a decision",
            "the nozzles of the first stage reach beyond its skirt",
        ),
        (
            {f"{TRANSFER}.build.nested": "2.5 m"},
            "stops the flight",
            "the nozzles of the transfer stage reach into the tank of the second stage",
        ),
        (
            {"elements.lander_bay.length": "6.5 m"},
            "stops the flight",
            "the ascent stage reaches above the top of the lander bay",
        ),
        (
            {"elements.lander_bay.diameter": "4.3 m", "elements.lander_bay.top_diameter": "4.3 m"},
            "stops the flight",
            "the descent stage is wider than the lander bay round it",
        ),
        (
            {"elements.lander_bay.top_diameter": "3 m"},
            "stops the flight",
            "the ascent stage is wider than the lander bay, which tapers, 6.8 m above its "
            "lower end",
        ),
        (
            {"elements.lander_bay.length": "7.9 m"},
            "stops the flight",
            "the nozzles of the service module reach into the ascent stage",
        ),
        (
            {f"{DESCENT}.build.base_span": "7.5 m"},
            "stops the flight",
            "the descent stage is wider than the lander bay round it",
        ),
        (
            {"elements.second_stage.top_diameter": "2 m"},
            "stops the flight",
            "the nozzles of the transfer stage hang into the second stage, whose upper end is "
            "narrower",
        ),
        (
            {f"{SERVICE}.dry_mass": "23 t"},
            "needs a decision",
            "the service module is denser than is usual: 23.0 t without propellant in 86.7 m3",
        ),
        (
            {"elements.crew_module.length": "1.4 m"},
            "needs a decision",
            "the crew module is denser than is usual: 5.3 t without propellant in 8.2 m3",
        ),
    ],
)
def test_no_room(reference_landing, changes, severity, text):
    """Each kind of misfit is found, alone, and says where it is."""
    assert found(reference_landing, changes) == [(severity, text)]


def stated(length: str, **other: object) -> dict[str, object]:
    """A first stage of stated sizes, in place of the one that is built of its tanks."""
    element = {
        "role": "launch stage",
        "dry_mass": "104 t",
        "length": length,
        "diameter": "9.2 m",
        "active_guidance": True,
        "tanks": {
            "kerosene": {"propellant": "kerosene", "load": "520 t"},
            "oxygen": {"propellant": "liquid oxygen", "load": "1202 t"},
        },
        "engines": {
            "lift": {
                "count": 5,
                "thrust_vacuum": "8 MN",
                "isp_vacuum": "304 s",
                "starts": 1,
                "qualified_duration": "200 s",
                "fuel": "kerosene",
                "oxidiser": "oxygen",
                "mixture_ratio": 2.3,
                "length": "5 m",
                **other,
            }
        },
    }
    return {"elements.first_stage": element}


def test_a_stated_length_that_cannot_hold_its_propellant(reference_landing):
    """By hand: 520 t / 820 + 1202 t / 1141 are 1,687.6 m3; a metre of 9.2 m holds 66.48 m3.

    25.4 m is full to the last litre, so that 25 m stops; laid out with 3 % ullage and domes of 71 %
    it needs 1,739.8 / 66.48 + 2/3 x 3.25 = 28.34 m, and 5 m for the engine: 33 m ask a decision.
    """
    assert found(reference_landing, stated("25 m")) == [
        ("stops the flight", "the first stage is too small for its propellant")
    ]
    text = "the tanks and engine of the first stage are longer than its stated length"
    assert found(reference_landing, stated("33 m")) == [("needs a decision", text)]
    (finding,) = fit.of(reference_landing.change(stated("33 m")))
    assert (finding.limit, finding.found) == ("33.3 m at least", "33.0 m")
    assert found(reference_landing, stated("33.5 m")) == []


def test_nozzles_wider_than_a_stage_of_stated_sizes(reference_landing):
    """What states no build has its nozzles looked at too."""
    assert found(reference_landing, stated("40 m", exit_diameter="4 m")) == [
        ("needs a decision", "the nozzles of the first stage reach beyond its width")
    ]


def test_what_stands_inside_takes_room(reference_landing):
    """By hand: 300 t of oxygen are 263 m3, the lander's outlines 98 m3: 361 m3 in all.

    The bay, were it 7.2 m wide all along, would be 40.72 m2 x 8.4 m = 342 m3.
    """
    tanks = {"oxygen": {"propellant": "liquid oxygen", "load": "300 t"}}
    engines = {
        "jets": {
            "purpose": "thrusters",
            "count": 4,
            "thrust_vacuum": "10 kN",
            "isp_vacuum": "300 s",
            "starts": 1,
            "qualified_duration": "1 h",
            "fuel": "oxygen",
        }
    }
    bay = {"elements.lander_bay.tanks": tanks, "elements.lander_bay.engines": engines}
    assert ("stops the flight", TOO_SMALL) in found(reference_landing, bay)
    tanks["oxygen"]["load"] = "5 t"
    assert found(reference_landing, bay) == []


def test_denser_than_steel(reference_landing):
    """A dry mass that solid steel of that size would not have cannot be built at all."""
    changes = {f"{TRANSFER}.dry_mass": "5100 t", "launch_site.pad.platform_load": None}
    assert found(reference_landing, changes) == [
        ("stops the flight", "the transfer stage is too small for its propellant")
    ]


def test_a_finding_carries_its_sizes(reference_landing):
    """What there is stands beside what there would have to be, with units and a source."""
    (finding,) = fit.of(reference_landing.change(f"{TRANSFER}.build.nested", "2.5 m"))
    assert (finding.limit, finding.found) == ("2.43 m free above it", "2.50 m")
    assert finding.basis == "geometry, from the element's [build]"
    assert finding.event == "transfer_stage"
