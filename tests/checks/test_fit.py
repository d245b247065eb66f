"""What has no room where the scenario puts it is told in one sentence."""

from __future__ import annotations

import pytest

import mplan
from mplan.checks import fit

FIRST, TRANSFER = "elements.first_stage", "elements.transfer_stage"
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
            {"elements.lander_bay.diameter": "4.3 m"},
            "stops the flight",
            "the descent stage is wider than the lander bay round it",
        ),
    ],
)
def test_no_room(reference_landing, changes, severity, text):
    """Each kind of misfit is found, alone, and says where it is."""
    assert found(reference_landing, changes) == [(severity, text)]


def test_a_finding_carries_its_sizes(reference_landing):
    """What there is stands beside what there would have to be, with units and a source."""
    (finding,) = fit.of(reference_landing.change(f"{TRANSFER}.build.nested", "2.5 m"))
    assert (finding.limit, finding.found) == ("2.43 m free above that tank", "2.50 m")
    assert finding.basis == "geometry, from the element's [build]"
    assert finding.event == "transfer_stage"
