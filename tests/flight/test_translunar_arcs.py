"""The arc to the Moon constrained: a free return, or a hybrid that leaves one on the way."""

from __future__ import annotations

from math import degrees

import numpy as np
import pytest

import mplan
from mplan.flight import walk
from mplan.oem import segments
from mplan.physics import constants as c
from mplan.physics.arcs import nbody
from mplan.physics.arcs.homeward import flight_path_angle
from mplan.physics.vectors import cross, unit

FREE = {"orbits.translunar_arc": "free return", "dates.translunar_time": None}
HYBRID = {"orbits.translunar_arc": "hybrid", "events": None}  # with the events of its profile


@pytest.fixture(scope="module")
def free(reference_landing):
    return mplan.fly(reference_landing.change(FREE))


@pytest.fixture(scope="module")
def hybrid(reference_landing):
    return mplan.fly(reference_landing.change(HYBRID))


def home(arrival):
    return nbody.fly_arc(arrival.r, arrival.v, arrival.t, 12 * c.DAY, "earth")


def altitude(arrival):
    return float(np.linalg.norm(arrival.lunar_r)) - c.R_MOON


def test_a_landing_on_a_free_return(free, reference_landing):
    """Without the insertion the ship meets the entry angle; with it the mission goes on."""
    out = free.flight.end.outbound
    assert altitude(out.perilune) == pytest.approx(reference_landing.orbits.lunar_altitude, abs=20)
    end = home(out.perilune)
    assert end.stop == "entry interface"
    angle = degrees(flight_path_angle(end.r, end.v))
    assert angle == pytest.approx(degrees(reference_landing.orbits.entry_angle), abs=0.01)
    assert free.flight.splash is not None
    time = (out.perilune.t - out.injection) / c.HOUR
    assert 60.0 < time < 80.0
    failed = [x for x in mplan_lines(free) if "if insertion fails" in x]
    assert "entry at -6.40 deg" in failed[0]
    assert " 0.0 m/s 2 h after perilune" in failed[0]


def mplan_lines(plan):
    from mplan.show import gist

    return gist.lines(plan)


def test_a_hybrid_leaves_a_free_return(hybrid, reference_landing):
    """Up to the transfer the ship would come home by itself; after it, perilune is the wanted."""
    departing = hybrid.flight.end.departing
    out, change = departing.outbound, departing.transfer
    assert departing.transferred
    end = home(nbody.fly_arc(out.r, out.v, out.injection, 5 * c.DAY, "perilune"))
    assert end.stop == "entry interface"
    angle = degrees(flight_path_angle(end.r, end.v))
    assert angle == pytest.approx(degrees(reference_landing.orbits.entry_angle), abs=0.05)
    there = nbody.fly_arc(change.r, change.v, change.t, 5 * c.DAY, "perilune")
    assert altitude(there) == pytest.approx(reference_landing.orbits.lunar_altitude, abs=50)
    time = there.t - out.injection
    assert time == pytest.approx(reference_landing.dates.translunar_time, abs=1.0)
    burn = next(x for x in hybrid.burns if x.leg == "hybrid transfer")
    assert burn.propellant > 0.0
    assert burn.impulse == pytest.approx(float(np.linalg.norm(change.burn)))
    assert "leaves a free return past" in burn.note
    # flown hybrids took 23 and 62 ft/s (SP-2000-4029, from memory): 7 and 19 m/s
    assert 1.0 < burn.impulse < 40.0


def test_the_hybrid_holds_the_landing_site(hybrid, reference_landing):
    """The plane after the transfer is that of the free arc: over the site at landing."""
    straight = walk.fly(reference_landing.change("events", None))
    planes = [
        unit(cross(x.end.outbound.perilune.lunar_r, x.end.outbound.perilune.lunar_v))
        for x in (hybrid.flight, straight)
    ]
    assert degrees(np.arccos(min(1.0, float(planes[0] @ planes[1])))) < 1.5
    assert any(each.event.do == "land" for each in hybrid.flight.passages)


def test_the_correction_before_the_transfer_is_that_of_the_free_return(hybrid):
    """Errors of the injection grow to the Moon: the correction is none of the short arc after."""
    burn = next(x for x in hybrid.burns if x.leg == "outbound correction")
    assert burn.impulse > 5.0


def test_the_message_has_the_hybrid_in_two_segments(hybrid):
    """An ephemeris breaks where a burn is."""
    found = list(segments(hybrid))
    change = hybrid.flight.end.departing.transfer
    assert [x.name for x in found][:2] == [
        "outbound arc, injection to transfer",
        "outbound arc, transfer to perilune",
    ]
    assert found[0].times[-1] == pytest.approx(change.t)
    assert found[1].times[0] == pytest.approx(change.t)


def test_a_stated_perilune_of_the_free_return(reference_landing):
    """A free return past another height takes another time, which the transfer makes up."""
    flight = walk.fly(reference_landing.change({**HYBRID, "orbits.free_return_perilune": "900 km"}))
    change = flight.end.departing.transfer
    assert altitude(change.unchanged) == pytest.approx(900e3, abs=500)
    cheap = walk.fly(reference_landing.change(HYBRID)).end.departing.transfer
    assert change.delta_v > cheap.delta_v + 5.0


def test_a_hybrid_without_its_transfer_is_told(reference_landing):
    """Events of the planner's own need the burn; an arc of another kind has no use for it."""
    lacking = mplan.fly(reference_landing.change("orbits.translunar_arc", "hybrid"))
    assert not lacking.closes
    assert "no event is a hybrid transfer before the translunar coast" in lacking.verdict
    legs = [getattr(each, "leg", None) for each in reference_landing.events]
    transfer = {"do": "burn", "leg": "hybrid transfer", "element": "service_module"}
    place = legs.index("outbound correction")
    useless = mplan.fly(reference_landing.change(f"events.{place}", transfer))
    assert 'hybrid transfer, but orbits.translunar_arc is not "hybrid"' in useless.verdict


def test_a_site_that_no_free_return_passes_over_is_told(reference_landing):
    """Far from the equator: the arc is at fault, and the two others are named."""
    far = reference_landing.change({**FREE, "landing_site.latitude": "60 deg"})
    with pytest.raises(mplan.ScenarioError, match=r'translunar_arc: found "free return".*"hybrid"'):
        mplan.fly(far)


REFUSED = {
    "a time that the free return decides": (
        {"orbits.translunar_arc": "free return"},
        r"dates.translunar_time: leave it out: it follows from orbits.translunar_arc",
    ),
    "a clock time with a hybrid": (
        {"orbits.translunar_arc": "hybrid", "dates.launch_time": "12:00:00"},
        r"dates.launch_time: leave it out",
    ),
    "a perilune of no free return": (
        {"orbits.free_return_perilune": "500 km"},
        r"orbits.free_return_perilune: leave it out: it belongs to",
    ),
    "a kind of arc that does not exist": (
        {"orbits.translunar_arc": "ballistic"},
        r'orbits.translunar_arc: unknown "ballistic"; known: "free", "free return", "hybrid"',
    ),
}


@pytest.mark.parametrize(("changes", "message"), REFUSED.values(), ids=REFUSED)
def test_what_makes_no_sense_is_refused(reference_landing, changes, message):
    """Naming the key, what was found or why it has to go."""
    with pytest.raises(mplan.ScenarioError, match=message):
        reference_landing.change(changes)
