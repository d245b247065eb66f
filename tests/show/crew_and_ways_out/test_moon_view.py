"""Ways out about the Moon, drawn: orbits and burns are where they are flown."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from mplan.physics import constants as c
from mplan.physics.arcs.lunar_orbit import coast
from mplan.physics.arcs.orbit import apsides
from mplan.physics.bodies import ephemeris
from mplan.show import crew_and_ways_out as shown
from mplan.studies import ways_out
from mplan.studies.ways_out.about_moon import about_moon

LANDER = "ascent_stage"


@pytest.fixture
def flight(landing_plan):
    return landing_plan.flight


def during(flight, leg: str, share: float) -> float:
    burn = flight.burn_of(leg)
    return burn.elapsed + share * burn.duration


def first(flight, elapsed: float, failure: str, cabin: str = ""):
    asked = ways_out.at(flight, elapsed, failure, cabin)
    return asked, next(x for x in asked.ways if x.orbits or x.arcs)


def test_the_return_leaves_from_its_orbit(flight):
    """The burn stands where its orbit is at that time, and the arc home begins there."""
    elapsed = during(flight, "lunar-orbit insertion", 1.0) + 3600.0
    _, way = first(flight, elapsed, "called off")
    seen = about_moon(way, flight)
    (burn,) = seen.burns
    arc = way.arcs[0]
    begins = arc.r - ephemeris.moon(arc.begin).r
    assert burn.r == pytest.approx(begins, abs=1.0)
    assert way.orbits[-1].orbit.r == pytest.approx(begins, abs=1.0)
    assert seen.leaving[-1].r[0] == pytest.approx(begins, abs=1.0)
    far = np.linalg.norm(seen.leaving[-1].r, axis=1)
    assert np.all(np.diff(far[far < seen.reach]) > 0.0)  # away from the Moon


def test_an_aborted_descent_phases_and_meets(flight):
    """Every burn is numbered, in order of time, and stands on an orbit within its apsides."""
    asked, way = first(flight, during(flight, "powered descent", 0.3), "called off", LANDER)
    seen = about_moon(way, flight)
    assert [x.number for x in seen.burns] == list(range(1, len(way.burns) + 1))
    heights = [apsides(x.orbit) for x in way.orbits]
    low, high = min(x[0] for x in heights), max(x[1] for x in heights)
    for burn in seen.burns:
        assert low - 5e3 < np.linalg.norm(burn.r) < high + 5e3
    names = [x.name for x in seen.orbits]
    assert names[:2] == ["the ship's orbit", "the lander's orbit"]
    drawn = shown.way_about_moon(asked)
    told = [x.name or "" for x in drawn.data]
    for burn in seen.burns:
        assert any(x.startswith(f"{burn.number} {burn.what}, ") for x in told)
    assert "to scale" in drawn.summary


def test_a_way_that_is_closed_is_drawn_as_closed(flight):
    """In the legends of both pictures, not only in words: nobody takes it for a way out."""
    asked, way = first(flight, during(flight, "lunar-orbit insertion", 1.0) + 3600.0, "called off")
    for word in ("", "its engine is not qualified"):
        only = asked._replace(ways=(replace(way, closed=word),))
        for picture in (shown.way_about_moon(only), shown.way_home(only)):
            lines = [x.name or "" for x in picture.data if x.mode == "lines"]
            assert any(x.endswith(" (closed)") for x in lines) == bool(word)


def test_a_lines_places_lie_on_its_orbit(flight):
    """A revolution about a point against the flown coast: within 30 km, which is the Moon's figure.

    J2 and C22 move a craft in a low orbit by some kilometres in one revolution, and by what they
    change of its period times its speed.
    """
    elapsed = during(flight, "lunar-orbit insertion", 1.0) + 3600.0
    _, way = first(flight, elapsed, "called off")
    orbit = way.orbits[-1].orbit
    line = about_moon(way, flight).orbits[0].r
    for part in (0.25, 0.5, 0.75):
        there = coast(orbit, part * orbit.period).r
        assert np.min(np.linalg.norm(line - there, axis=1)) < 30e3 + 2.0 * np.pi * orbit.a / 240.0


def test_part_of_an_insertion_is_drawn(flight):
    """Early it leaves an arc past the Moon, late an orbit: both with the burn that leads home."""
    for share in (0.2, 0.95):
        elapsed = during(flight, "lunar-orbit insertion", share)
        _, way = first(flight, elapsed, "main engine lost")
        seen = about_moon(way, flight)
        assert seen.burns
        assert seen.leaving[-1].name == "the way home"


def test_without_a_burn_there_nothing_is_drawn(flight):
    asked = ways_out.at(flight, 20.0 * c.HOUR, "called off")
    assert "no burn near the Moon" in shown.way_about_moon(asked).text
