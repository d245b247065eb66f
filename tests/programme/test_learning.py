"""Learning curves against published tables and a worked example."""

import pytest

from mplan.programme.learning import unit_cost

# Heizer and Render, "Operations Management", module on learning curves, table of coefficients
# (unit time; total time), from memory; three decimals are printed.
UNIT_80 = {2: (0.800, 1.800), 3: (0.702, 2.502), 4: (0.640, 3.142), 10: (0.477, 6.315)}
UNIT_85 = {2: (0.850, 1.850), 3: (0.773, 2.623), 4: (0.723, 3.345), 10: (0.583, 7.116)}
# A business-school text's example of the cumulative average, slope 80 %, 100 hours for the first
# unit (chapter 15, "A new product will take 100 hours for the first unit"): average, total.
AVERAGE_80 = {1: (100, 100), 2: (80, 160), 4: (64, 256), 8: (51.2, 409.6), 16: (40.96, 655.36)}


@pytest.mark.parametrize(("slope", "table"), [(0.80, UNIT_80), (0.85, UNIT_85)])
def test_unit_curve_of_a_textbook(slope, table):
    for number, (unit, total) in table.items():
        costs = [unit_cost(1.0, n, slope, "unit") for n in range(1, number + 1)]
        # Half of the last printed digit; 0.7225 itself is printed as 0.723.
        assert costs[-1] == pytest.approx(unit, abs=0.000501)
        assert sum(costs) == pytest.approx(total, abs=0.000501)


def test_cumulative_average_of_a_textbook():
    for number, (average, total) in AVERAGE_80.items():
        found = sum(unit_cost(100.0, n, 0.8, "cumulative average") for n in range(1, number + 1))
        assert found == pytest.approx(total, rel=1e-12)
        assert found / number == pytest.approx(average, rel=1e-12)


def test_worked_examples_of_another_implementation():
    """Boehmke and Freels, R package learningCurve (CRAN, 1.0), examples in its documentation.

    Tolerances: half of the last digit printed.
    """
    first_125 = [unit_cost(100.0, n, 0.85, "unit") for n in range(1, 126)]
    assert first_125[-1] == pytest.approx(32.23647, abs=0.5e-5)
    assert sum(first_125) == pytest.approx(5201.085, abs=0.5e-3)
    block = sum(unit_cost(75.0, n, 0.85, "cumulative average") for n in range(201, 251))
    assert block == pytest.approx(806.772, abs=0.5e-3)
    late = unit_cost(110.0, 2200, 0.885, "cumulative average")
    assert late == pytest.approx(23.34001, abs=0.5e-5)


def test_the_two_curves_differ():
    """The second unit costs 80 by the unit curve, 60 by the cumulative average."""
    assert unit_cost(100.0, 2, 0.8, "unit") == pytest.approx(80.0)
    assert unit_cost(100.0, 2, 0.8, "cumulative average") == pytest.approx(60.0)


def test_no_learning_at_slope_one():
    assert {unit_cost(7.0, n, 1.0, c) for n in (1, 5) for c in ("unit", "cumulative average")} == {
        7
    }
