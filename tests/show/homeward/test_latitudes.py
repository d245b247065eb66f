"""The curves of splash latitudes: what they show is what the study found."""

from __future__ import annotations

import numpy as np
import pytest

from mplan.physics.constants import DEG
from mplan.show import homeward
from mplan.show.drawn.figure import Picture
from mplan.show.homeward import latitude_curves
from mplan.studies import latitudes


@pytest.fixture(scope="module")
def reaches(landing_plan):
    return latitudes.reaches(landing_plan, (1.8e6, 3.2e6))


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_curves(reaches, theme):
    """One for each downrange, from end to end of its reach, told in words too."""
    drawn = latitude_curves.drawing(reaches, theme)
    assert len(drawn.traces) == 2
    assert len({trace["line"]["dash"] for trace in drawn.traces}) == 2
    for trace, reach in zip(drawn.traces, reaches, strict=True):
        assert np.ptp(trace["x"]) == pytest.approx(np.ptp(reach.family.reach) / DEG, abs=0.05)
        assert min(trace["y"]) == pytest.approx(reach.lowest, abs=0.5)
        assert f"{reach.family.reach[0] / DEG:.1f} deg" in drawn.summary
    assert Picture(drawn).png().startswith(b"\x89PNG")


def test_where_a_burn_sends_it_home(any_plan):
    """Picture and table, or a sentence where no burn sends the mission home."""
    table = homeward.splash_latitudes(any_plan)._repr_html_()
    if any_plan.flight.end.homeward is None:
        assert "free return" in homeward.splashes(any_plan)._repr_html_()
        assert "free return" in table
    else:
        assert isinstance(homeward.splashes(any_plan), Picture)
        assert table.count("<tr>") == 1 + len(latitudes.DOWNRANGES)
