"""The air against the table of the US Standard Atmosphere 1976 (NASA-TM-X-74335, table I).

Geometric altitudes. Rows up to 86 km were computed from the standard's definition by another
hand and agree with the table as remembered; those above are from memory.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from mplan.physics.bodies import atmosphere, days

DATA = Path(__file__).parent / "data"

ROWS = [  # km, K, Pa, kg/m3
    (0, 288.150, 1.01325e5, 1.2250),
    (1, 281.651, 8.9876e4, 1.1117),
    (2, 275.154, 7.9501e4, 1.0066),
    (5, 255.676, 5.4048e4, 7.3643e-1),
    (10, 223.252, 2.6500e4, 4.1351e-1),
    (11, 216.774, 2.2700e4, 3.6480e-1),
    (15, 216.650, 1.2111e4, 1.9476e-1),
    (20, 216.650, 5.5293e3, 8.8910e-2),
    (25, 221.552, 2.5492e3, 4.0084e-2),
    (30, 226.509, 1.1970e3, 1.8410e-2),
    (40, 250.350, 2.8714e2, 3.9957e-3),
    (50, 270.650, 7.9779e1, 1.0269e-3),
    (60, 247.021, 2.1958e1, 3.0968e-4),
    (70, 219.585, 5.2209e0, 8.2829e-5),
    (80, 198.639, 1.0524e0, 1.8458e-5),
    (86, 186.867, 3.7338e-1, 6.958e-6),
]


@pytest.mark.parametrize(("km", "temperature", "pressure", "density"), ROWS)
def test_layers(km, temperature, pressure, density):
    """The standard defines these values: 0.05 % is the rounding of the rows and no more."""
    air = atmosphere.standard_air(km * 1e3)
    assert air.temperature == pytest.approx(temperature, rel=5e-4)
    assert air.pressure == pytest.approx(pressure, rel=5e-4)
    assert air.density == pytest.approx(density, rel=5e-4)


@pytest.mark.parametrize(
    ("km", "pressure"),
    [(91, 1.5381e-1), (97, 5.3571e-2), (99, 3.7948e-2), (125, 1.7354e-3)],
)
def test_between_the_rows_above(km, pressure):
    """Between rows that the kit holds, interpolation of the logarithm stays within 5 %."""
    assert atmosphere.standard_air(km * 1e3).pressure == pytest.approx(pressure, rel=0.05)


def reference_days() -> list[tuple[float, str, float]]:
    """Rows of AFGL-TR-86-0110: altitude km, day, pressure hPa."""
    lines = (DATA / "reference_days.csv").read_text("utf-8").splitlines()
    rows = csv.DictReader(line for line in lines if not line.startswith("#"))
    return [(float(row["km"]), day, float(row[day])) for row in rows for day in ("warm", "cold")]


@pytest.mark.parametrize(("km", "day", "pressure"), reference_days())
def test_pressures_of_warm_and_cold_days(km, day, pressure):
    """The report's pressures come out of its temperatures alone, by hydrostatics of dry air.

    The winter model to the digits printed (0.4 % up to 50 km, 1 % above). In the moist tropical air
    a column stands higher: neglecting it takes up to 1.3 % of the pressure at 25 km, and 3.2 % at
    the top, where the report's gravity is that of the tropics too.
    """
    near, far = {"warm": (0.013, 0.032), "cold": (0.004, 0.01)}[day]
    low = km <= (50.0 if day == "cold" else 27.5)
    found = days.air_of(days.AirDay(day))(km * 1e3)[1] / 100.0
    assert found == pytest.approx(pressure, rel=near if low else far)
