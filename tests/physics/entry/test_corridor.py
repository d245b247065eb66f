"""The corridor of entry angles: its edges, and what widens it."""

from __future__ import annotations

from math import cos, sin

import pytest

from mplan.physics import constants as c
from mplan.physics.entry.corridor import corridor, steepened
from mplan.physics.entry.entry_flight import EntrySteering, EntryVehicle, Six, fly_entry

LIMIT = 10.0 * c.G0
LIGHT = EntryVehicle(380.0, 0.28)
DROGUES = 7200.0


def interface(angle: float) -> Six:
    """Return a state over the equator at 11.02 km/s, on 60 deg, at `angle` [deg]."""
    a, heading = angle * c.DEG, 60.0 * c.DEG
    up, level = 11020.0 * sin(a), 11020.0 * cos(a)
    return (c.R_EARTH + c.ENTRY_INTERFACE, 0.0, 0.0, up, level * sin(heading), level * cos(heading))


def test_the_edges_of_the_corridor_are_edges():
    """A fiftieth of a degree inside each edge it holds, and as much outside it does not."""
    start, step = interface(-6.4), 0.02 * c.DEG
    edges = corridor(start, LIGHT, LIMIT, DROGUES)
    assert edges.steep < edges.shallow < 0.0
    assert edges.holds(-6.4 * c.DEG)
    assert edges.width == pytest.approx(edges.shallow - edges.steep)

    def load(angle: float) -> float:
        flown = fly_entry(
            steepened(start, angle), LIGHT, EntrySteering(1.0, pull_out=False), DROGUES
        )
        return flown.peak.load

    def ends(angle: float) -> str:
        return fly_entry(
            steepened(start, angle), LIGHT, EntrySteering(-1.0, pull_out=False), DROGUES
        ).end

    assert load(edges.steep + step) < LIMIT < load(edges.steep - step)
    assert ends(edges.shallow - step) == "down"
    assert ends(edges.shallow + step) == "skip"


def test_more_lift_widens_the_corridor():
    """The reason to have lift at all."""
    widths = [
        corridor(interface(-6.4), EntryVehicle(380.0, lift), LIMIT, DROGUES).width
        for lift in (0.0, 0.15, 0.3)
    ]
    assert widths == sorted(widths)
    assert widths[2] > widths[0] + 1.0 * c.DEG
