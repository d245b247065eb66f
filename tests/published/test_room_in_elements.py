"""Real stages and modules, under neutral names, against the room and density that checks allow.

A check that found what was built and flown would be wrong; one that let a third less pass, useless.
"""

from __future__ import annotations

import pytest

import mplan
from mplan.checks import fit

FT, INCH, LB, GALLON = 0.3048, 0.0254, 0.45359237, 3.785411784e-3


def found(scenario: mplan.Scenario, name: str, element: dict[str, object]) -> list[str]:
    changed = scenario.change({f"elements.{name}": element})
    return [x.severity for x in fit.of(changed) if x.event == name]


@pytest.mark.parametrize(
    ("share", "severities"),
    [(1.0, []), (0.75, ["needs a decision"]), (0.6, ["stops the flight"])],
)
def test_a_large_hydrogen_stage(reference_landing, share, severities):
    """33 ft across and 81.6 ft long, for 260,000 and 83,000 gallons of hydrogen and oxygen.

    Museum sign beside the stage (length, 343,000 gal in all) and a book on it (width, both
    propellants), read. It fits; at three quarters of its length its tanks fill all of it, at
    three fifths they hold more than its outline. Its dry mass, 36 t, is from memory.
    """
    stage = {
        "role": "launch stage",
        "dry_mass": "36 t",
        "length": f"{share * 81.6 * FT} m",
        "diameter": f"{33 * FT} m",
        "tanks": {
            "hydrogen": {
                "propellant": "liquid hydrogen",
                "load": f"{260_000 * GALLON * 71.0} kg",
            },
            "oxygen": {"propellant": "liquid oxygen", "load": f"{83_000 * GALLON * 1141.0} kg"},
        },
        "engines": {
            "main": {
                "count": 5,
                "thrust_vacuum": "1 MN",
                "isp_vacuum": "421 s",
                "starts": 1,
                "qualified_duration": "500 s",
                "fuel": "hydrogen",
                "oxidiser": "oxygen",
                "mixture_ratio": 5.0,
            }
        },
    }
    assert found(reference_landing, "second_stage", stage) == severities


@pytest.mark.parametrize(("mass", "severities"), [(1.0, []), (2.0, ["needs a decision"])])
def test_a_crew_module(reference_landing, mass, severities):
    """A cone of 12 ft 10 in across and 10 ft 7 in high, 12,800 lb with all in it.

    Fact table of the space agency's history office on the spacecraft of 1967 (read); its upper
    end, 0.8 m, is from memory. It is as dense as crew modules come; twice that asks.
    """
    kept = reference_landing.change(
        {
            "elements.crew_module.length": f"{10 * FT + 7 * INCH} m",
            "elements.crew_module.diameter": f"{12 * FT + 10 * INCH} m",
            "elements.crew_module.top_diameter": "0.8 m",
            "elements.crew_module.dry_mass": f"{mass * 12_800 * LB} kg",
        }
    )
    assert [x.severity for x in fit.of(kept) if x.event == "crew_module"] == severities
