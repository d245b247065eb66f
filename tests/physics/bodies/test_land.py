"""Land and sea: the coarse mask against its source, and against plain geography."""

from __future__ import annotations

from math import radians

import numpy as np
import pytest

from mplan.physics.bodies import land
from mplan.physics.bodies.earth import geocentric_latitude, geodetic_latitude

# Places from any atlas: name, latitude and longitude [deg], whether land.
PLACES = [
    ("Paris", 48.9, 2.4, True),
    ("Denver", 39.7, -105.0, True),
    ("Nairobi", -1.3, 36.8, True),
    ("Alice Springs", -23.7, 133.9, True),
    ("near the south pole", -85.0, 0.0, True),
    ("Saint Helena, 16 km wide", -15.95, -5.70, True),
    ("Easter Island, 24 km wide", -27.12, -109.36, True),
    ("the Caspian Sea counts as land", 42.0, 51.0, True),
    ("north pole", 89.9, 0.0, False),
    ("middle of the Atlantic", 0.0, -30.0, False),
    ("middle of the Pacific", -10.0, -130.0, False),
    ("middle of the Indian Ocean", -30.0, 80.0, False),
    ("beside the date line", -45.0, 179.99, False),
]


@pytest.mark.parametrize(("name", "north", "east", "dry"), PLACES, ids=[x[0] for x in PLACES])
def test_places_of_an_atlas(name, north, east, dry):
    assert land.is_land(radians(north), radians(east)) is dry
    assert land.is_land(radians(north), radians(east + 360.0)) is dry


def test_the_mask_is_the_source_s_at_its_resolution():
    """A cell is land where any point of GLOBE in it is; made anew here, it is the mask shipped."""
    from global_land_mask import globe  # 0.9 GB once it is read

    dry = ~globe._mask
    blocks = dry.reshape(land.ROWS, 12, land.COLUMNS, 12)
    assert np.array_equal(blocks.any(axis=(1, 3)), land._cells())


def test_land_near_by():
    """200 km off a coast is no land, and 20 km off is land within 50 km."""
    off_brazil = radians(-14.4), radians(-36.9)
    assert not land.land_near(*off_brazil, 20e3)
    assert land.land_near(*off_brazil, 250e3)


def test_land_across_the_date_line():
    """Fiji lies on both sides of it."""
    assert land.land_near(radians(-17.0), radians(-179.9), 60e3)
    assert land.land_near(radians(-17.0), radians(180.1), 60e3)


def test_part_of_the_way():
    """Along the equator, and to the very place itself."""
    start, end = (0.0, 0.0), (0.0, radians(40.0))
    assert land.along(start, end, 0.25) == pytest.approx((0.0, radians(10.0)))
    assert land.along(start, end, 1.0) == pytest.approx(end)
    assert land.along(end, end, 0.5) == end


@pytest.mark.parametrize("north", [-90.0, -45.0, 0.0, 28.6, 86.0])
def test_latitudes_there_and_back(north):
    """The mask has geodetic latitudes, a fall geocentric ones: 0.19 deg apart at 45 deg."""
    geocentric = geocentric_latitude(radians(north))
    assert geodetic_latitude(geocentric) == pytest.approx(radians(north), abs=1e-12)
    assert abs(geocentric - radians(north)) < radians(0.193)
