"""The plane over the landing site by its approach azimuth, and the burns that turn into it."""

from __future__ import annotations

from math import atan2, degrees

import numpy as np
import pytest

import mplan
from mplan.flight import walk
from mplan.physics.bodies import selenography
from mplan.physics.vectors import cross, unit

INTO_ORBIT = ("lunar-orbit insertion", "lunar-orbit plane change", "lunar-orbit circularisation")


def course(flight):
    """Return the course [deg] over the site at landing, and how far off it the plane lies [deg]."""
    place = flight.end.scenario.site
    land = next(each for each in flight.passages if each.event.do == "land")
    descent = next(x for x in flight.passages if getattr(x.event, "leg", "") == "powered descent")
    orbit = descent.before.lander or descent.before.orbit
    t = land.after.t
    site = unit(selenography.site_position(place.latitude, place.longitude, t))
    east = unit(cross(selenography.lunar_pole(t), site))
    ahead = cross(orbit.normal, site)
    heading = degrees(atan2(ahead @ east, ahead @ cross(site, east))) % 360.0
    return heading, degrees(np.arcsin(orbit.normal @ site))


def spent(flight):
    return {
        burn.leg: burn.impulse + sum(burn.losses.values())
        for burn in flight.burns
        if burn.leg in INTO_ORBIT
    }


@pytest.mark.parametrize("azimuth", [255.0, 262.0, 269.0, 280.0, 300.0])
def test_the_ship_passes_over_the_site_along_it(reference_landing, azimuth):
    """Within 0.1 deg of it, and the site within 0.15 deg of the plane: 4.5 km, flown by the lander.

    The wait for the landing is foreseen, not known; the aim knows the turn of the node by J2 alone,
    to which C22 adds up to a fifth, and of the line of apsides nothing.
    """
    flight = walk.fly(reference_landing.change("orbits.approach_azimuth", f"{azimuth} deg"))
    heading, off = course(flight)
    assert heading == pytest.approx(azimuth, abs=0.1)
    assert abs(off) < 0.15


def test_the_free_node_is_the_cheapest(reference_landing):
    """Along the course that the free node leads over the site nothing is turned, elsewhere more."""
    free = walk.fly(reference_landing)
    heading, _ = course(free)
    same, away = (
        walk.fly(reference_landing.change("orbits.approach_azimuth", f"{heading + x} deg"))
        for x in (0.0, 6.0)
    )
    base = sum(spent(free).values())
    assert sum(spent(same).values()) == pytest.approx(base, abs=0.3)
    assert sum(spent(away).values()) > base + 15.0
    turns = [x.losses["plane turn"] for x in away.burns if x.leg in INTO_ORBIT]
    assert all(turn > 0.0 for turn in turns)


def test_a_shared_turn_costs_less_than_one_at_insertion(reference_landing):
    """And both come to the same plane."""
    there = {"orbits.approach_azimuth": "285 deg"}
    shared = walk.fly(reference_landing.change(there))
    alone = walk.fly(reference_landing.change({**there, "orbits.plane_turn": "at insertion"}))
    assert sum(spent(shared).values()) < sum(spent(alone).values()) - 3.0
    assert course(shared)[0] == pytest.approx(course(alone)[0], abs=0.05)


def test_a_plane_change_at_apolune_takes_its_share(reference_landing):
    """A high capture orbit, where a turn costs little: most of it is made there."""
    events = [each.model_dump(exclude_none=True) for each in reference_landing.events]
    place = next(i for i, x in enumerate(events) if x.get("leg") == "lunar-orbit circularisation")
    far = reference_landing.change(
        {"orbits.capture_apolune": "4900 km", "orbits.approach_azimuth": "300 deg"}
    )
    without = sum(spent(walk.fly(far)).values())
    turning = far.change(
        f"events.{place}",
        {"do": "burn", "leg": "lunar-orbit plane change", "element": "service_module"},
    ).change(
        f"events.{place + 1}",
        {"do": "burn", "leg": "lunar-orbit circularisation", "element": "service_module"},
    )
    flight = walk.fly(turning)
    assert sum(spent(flight).values()) < without - 20.0
    assert course(flight)[0] == pytest.approx(300.0, abs=0.3)


REFUSED = {
    "against the sense of the orbit": (
        {"orbits.approach_azimuth": "80 deg"},
        r'approach_azimuth: found "80 deg"; accepted with a retrograde approach: 180 to 360 deg',
    ),
    "a turn told twice": (
        {"orbits.approach_azimuth": "265 deg", "orbits.capture_plane_change": "5 deg"},
        r"capture_plane_change: leave it out: orbits.approach_azimuth tells by how much",
    ),
    "beyond a circle": (
        {"orbits.approach_azimuth": "400 deg"},
        r"approach_azimuth: found \"400 deg\", too large",
    ),
}


@pytest.mark.parametrize(("changes", "message"), REFUSED.values(), ids=REFUSED)
def test_an_azimuth_that_makes_no_sense_is_refused(reference_landing, changes, message):
    """Naming the key, what was found, what is accepted."""
    with pytest.raises(mplan.ScenarioError, match=message):
        reference_landing.change(changes)


def test_a_plane_out_of_reach_of_the_arrival_is_told(reference_landing):
    """Nearly over the poles: the way to the Moon has no perilune in that plane."""
    with pytest.raises(mplan.ScenarioError, match=r"approach_azimuth: found 359 deg, whose plane"):
        mplan.fly(reference_landing.change("orbits.approach_azimuth", "359 deg"))
