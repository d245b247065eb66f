"""How long studies take: a month of launch windows, a map of the way home."""

from __future__ import annotations

from datetime import date

from mplan.physics.constants import HOUR
from mplan.studies import maps, windows


def test_a_month_of_windows(benchmark, reference_landing):
    """Some sixty windows with their edges, each flown as a whole mission, in one process."""
    found = benchmark.pedantic(
        windows.scan_windows, (reference_landing, date(2031, 5, 1), 30), {"workers": 1}, rounds=1
    )
    assert len({(x.day, x.side) for x in found}) == 60


def test_a_map_of_the_way_home(benchmark, landing_plan):
    """A hundred and twenty return burns."""
    waits = [x * HOUR for x in range(0, 36, 3)]
    flights = [x * HOUR for x in range(50, 110, 6)]
    found = benchmark.pedantic(maps.home, (landing_plan, waits, flights), rounds=1)
    assert found.delta_v.shape == (10, 12)
