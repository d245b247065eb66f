"""Land about a fall's ellipse: what one look at a box and one table of sums answer."""

from __future__ import annotations

from math import ceil, cos, pi, radians

import numpy as np

from mplan.checks import impact
from mplan.physics.bodies import land


def by_cells(latitude: float, longitude: float, distance: float) -> bool:
    """Look at each cell of the box about one place, one by one."""
    row, column = (int(x) for x in land._cells_of(np.array(latitude), np.array(longitude)))
    reach = np.degrees(distance / land.R_EARTH) / land.CELL
    wide = min(land.COLUMNS / 2.0, reach / max(0.01, cos(latitude)))
    rows = range(max(0, int(np.floor(row - reach))), min(1800, int(np.floor(row + reach)) + 1))
    columns = range(int(np.floor(column - wide)), int(np.floor(column + wide)) + 1)
    return any(land._cells()[i, j % land.COLUMNS] for i in rows for j in columns)


def test_the_table_of_sums_tells_what_each_cell_does():
    """Coasts of all kinds, the date line and a pole among them."""
    draw = np.random.default_rng(4)
    for centre in ((0.1, -0.9), (radians(-17.0), pi - 0.01), (radians(84.0), 1.0), (0.6, 2.4)):
        places = np.array(centre) + draw.normal(scale=0.02, size=(60, 2))
        found = land.near_land(*places.T, 20e3)
        np.testing.assert_array_equal(found, [by_cells(*each, 20e3) for each in places])
        assert found.any()


def test_open_sea_is_never_said_of_an_ellipse_with_land():
    """The box about an ellipse holds every place that a closer look would ask of."""
    draw, seen, pad = np.random.default_rng(5), {True: 0, False: 0}, -0.8
    for _ in range(300):
        latitude, east = radians(draw.uniform(-65.0, 65.0)), draw.uniform(-pi, pi)
        there = impact.Impact("body", 0.0, latitude, east, 0.0)
        axes = sorted(draw.uniform(5e3, 150e3, size=2))
        ellipse = impact_ellipse(axes[1], axes[0], draw.uniform(0.0, pi))
        found = impact.Footprint(None, there, ellipse, 0.0)
        is_open = impact._open_sea(there, axes[1] + impact.ASIDE, pad)
        seen[is_open] += 1
        if is_open:
            assert not looked_at(found, pad)
    assert min(seen.values()) > 50


def looked_at(found, pad) -> bool:
    """Look closely, as if there were no box."""
    rings = [x for share in (0.25, 0.5, 0.75, 1.0) for x in impact.outline(found, 24, share)]
    return any(land.land_near(*impact._place(x, pad), impact.ASIDE) for x in rings)


def impact_ellipse(major: float, minor: float, azimuth: float):
    """Return an ellipse as a fall has it."""
    from mplan.physics.climb.impact import Ellipse

    return Ellipse(major, minor, azimuth)


def test_land_is_found_at_the_edge_or_within():
    """The edge is looked at before what lies within: the answer is that of all places together."""
    draw, seen = np.random.default_rng(6), {True: 0, False: 0}
    for _ in range(60):
        latitude, east = radians(draw.uniform(-60.0, 60.0)), draw.uniform(-pi, pi)
        axes = sorted(draw.uniform(10e3, 250e3, size=2))
        ellipse = impact_ellipse(axes[1], axes[0], draw.uniform(0.0, pi))
        found = impact.Footprint(
            None, impact.Impact("body", 0.0, latitude, east, 0.0), ellipse, 0.0
        )
        answer = impact._reaches_land(found, 0.0)
        seen[answer] += 1
        assert answer == everywhere(found, 0.0)
    assert min(seen.values()) > 10


def test_an_island_in_the_middle_is_found():
    """Réunion within an ellipse whose edge is at sea."""
    there = impact.Impact("body", 0.0, radians(-20.98), radians(55.5), 0.0)
    found = impact.Footprint(None, there, impact_ellipse(110e3, 100e3, 0.5), 0.0)
    assert not impact._near_land(impact._ring(found, found.ellipse, 1.0), 0.0)
    assert impact._reaches_land(found, 0.0)


def everywhere(found, pad) -> bool:
    """Look at every place within an ellipse together."""
    rings = max(1, ceil(found.ellipse.major / impact.ASIDE))
    places = [(found.impact.latitude, found.impact.east)]
    for ring in range(1, rings + 1):
        places += impact._ring(found, found.ellipse, ring / rings)
    return impact._near_land(places, pad)
