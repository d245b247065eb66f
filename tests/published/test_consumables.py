"""Consumables of a published mission, by the same rates and chemistry that a plan uses."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from mplan.physics.constants import DAY, HOUR
from mplan.physics.living import chemistry
from mplan.scenario.living.crew_day import CrewDay
from mplan.scenario.living.fuel_cell import CELL_VOLTAGE, OF_HYDROGEN
from mplan.scenario.living.supplies import Supplies
from mplan.vehicle.living.flows import Span, flows

POUND = 0.45359237  # kg
LENGTH, CREW = 147.0 * HOUR, 3  # from memory
LEAK = 0.2 * POUND / HOUR  # kg/s of the cabin by its specification, from memory
DATA = Path(__file__).parent / "data" / "consumables.csv"


@pytest.fixture(scope="module")
def planned():
    lines = [x for x in DATA.read_text("utf-8").splitlines() if not x.startswith("#")]
    rows = csv.DictReader(lines)
    return {row["consumable"]: float(row["used"]) * POUND for row in rows}


def test_oxygen_of_the_first_flight_into_lunar_orbit(planned):
    """What cells burn with the hydrogen, what three breathe in 147 h, what leaks: within 10 %.

    Purges of the cells and filling of the cabin after launch are not in it.
    """
    cells = planned["cryogenic hydrogen"] * (1.0 - OF_HYDROGEN) / OF_HYDROGEN
    carried = Supplies(oxygen_leakage=f"{LEAK * DAY} kg/d")
    span = flows(carried, CrewDay(), Span(CREW, LENGTH, LENGTH))
    oxygen = cells + span.taken["oxygen"]
    assert span.taken["oxygen"] == pytest.approx(
        CREW * chemistry.OXYGEN * LENGTH / DAY + LEAK * LENGTH
    )
    assert oxygen == pytest.approx(planned["cryogenic oxygen"], rel=0.10)
    assert oxygen < planned["cryogenic oxygen"]


def test_a_cell_s_voltage_is_that_of_flown_ones():
    """31 cells in series gave 27 to 31 V (National Air and Space Museum, A19730934000)."""
    assert 27.0 / 31.0 < CELL_VOLTAGE < 31.0 / 31.0
