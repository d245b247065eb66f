"""How long studies take: a month of launch windows, a map of the way home."""

from __future__ import annotations

from datetime import date

import pytest

from mplan.physics.constants import HOUR
from mplan.studies import maps, windows


@pytest.mark.parametrize("workers", [1, 2])
def test_a_month_of_windows(benchmark, reference_landing, workers):
    """Some seventy windows with their edges, each flown as a whole mission."""
    asked = (reference_landing, date(2031, 5, 1), 30)
    found = benchmark.pedantic(windows.scan_windows, asked, {"workers": workers}, rounds=1)
    assert len({(x.day, x.side) for x in found}) == 60


def test_a_map_of_the_way_home(benchmark, landing_plan):
    """A hundred and twenty return burns."""
    waits = [x * HOUR for x in range(0, 36, 3)]
    flights = [x * HOUR for x in range(50, 110, 6)]
    found = benchmark.pedantic(maps.home, (landing_plan, waits, flights), rounds=1)
    assert found.delta_v.shape == (10, 12)
