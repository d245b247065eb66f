"""The quick table of densities against the atmosphere that it was made from."""

from __future__ import annotations

import numpy as np
import pytest

from mplan.physics.bodies import atmosphere
from mplan.physics.entry.entry_air import TOP, density


def test_between_entries_it_is_the_standard_air():
    """0.1 %, reached where a bound of the standard's layers falls between two entries."""
    heights = np.linspace(0.0, TOP - 1.0, 2003)
    ours = [density(float(x)) for x in heights]
    assert ours == pytest.approx(
        [atmosphere.standard_air(float(x)).density for x in heights], rel=1e-3
    )


def test_outside_it():
    """Sea level's below sea level, and nothing above the table."""
    assert density(-300.0) == atmosphere.standard_air(0.0).density
    assert density(TOP + 1.0) == 0.0
