"""Both passes of many days, whatever the phase finds."""

from __future__ import annotations

from itertools import pairwise
from math import radians

import pytest

from mplan.physics import constants as c
from mplan.physics.arcs.parking import Parking, Site
from mplan.physics.rendezvous.daily_passes import daily_passes
from mplan.physics.rendezvous.launch_delay import flown_after
from mplan.physics.rendezvous.launch_passes import Orbiting
from mplan.physics.rendezvous.terms import Terms

SITE = Site(radians(28.0), radians(-80.0), radians(82.0), climb=700.0, downrange=0.42)
BEGIN, TERMS, LOW = 1.02e9, Terms(), c.R_EARTH + 185e3


@pytest.mark.parametrize("altitude", [230e3, 260e3, 400e3])
def test_every_pass_of_forty_days_settles(altitude):
    """Where the phase is all but right at insertion too: none and a whole turn are both near.

    0.002 deg: each launch's node counts on the equator of its own day, which turns in 40 days.
    """
    target = Orbiting(Parking(SITE, c.R_EARTH + altitude, BEGIN), BEGIN)
    found = daily_passes(Parking(SITE, LOW, BEGIN), target, TERMS, 40.0)
    assert len(found) == pytest.approx(2.0 * 40.0 / 0.985, abs=1)  # nodes go back by a few degrees
    flown = [flown_after(each, TERMS, 0.0) for each in found]
    assert max(x.between_planes for x in flown) < radians(0.002)
    sizes = [x.delta_v for x in flown]
    assert max(sizes) - min(sizes) < 0.2
    later = [x.chaser.lift_off for x in found]
    assert later == sorted(later)
    for side in (True, False):
        times = [x.chaser.lift_off for x in found if x.northward == side]
        apart = [b - a for a, b in pairwise(times)]
        assert all(23.2 * c.HOUR < x < 23.95 * c.HOUR for x in apart)
