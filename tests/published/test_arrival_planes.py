"""Insertions of flown missions over their landing sites, flown as scenarios from lift-off.

Tables: data/*.csv, mostly from memory of SP-2000-4029 and marked so there. The approach azimuths
follow from the plane changes that were flown while the crews were down (see
test_lunar_missions.azimuths); 11's and 15's flight plans state -91 deg, 12's -75 deg (from memory).
Where two would do, the one that is cheaper to enter stands here. 10 landed nobody, and surveyed
11's site flying west.
"""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

import mplan
from mplan.flight import walk
from mplan.physics import constants as c

FT, NMI = 0.3048, 1852.0
AZIMUTHS = {10: 270.0, 11: 268.97, 12: 284.32, 14: 284.41, 15: 269.42, 16: 270.59, 17: 270.1}
TO_MIDDLE, TO_STATE = 190.0, 182.0  # s: of the insertion burn; injection's middle to its state
REST = 15.0  # h in lunar orbit before the descent, in the mission that is changed
BASE = Path(__file__).parents[1] / "missions" / "reference_landing.toml"


def landing_of(mission, row):
    """Return site [deg] and time [s] of landing after lift-off; 10's would have been 11's site."""
    if mission == 10:
        return 0.71, 23.71, 100.7 * c.HOUR
    landed = (row["landing_utc"] - row["lift_off_utc"]).total_seconds()
    return row["latitude_deg"], row["longitude_deg"], landed


def scenario_of(mission, row):
    """Return the reference mission flown on the day, from the coast, to the site of a flight."""
    lift_off = row["lift_off_utc"]
    latitude, longitude, _ = landing_of(mission, row)
    coast = row["insertion_get"] + TO_MIDDLE - (row["get"] - TO_STATE)
    return mplan.load(BASE).change(
        {
            "launch_site.latitude": "28.608 deg",
            "launch_site.longitude": "-80.604 deg",
            "launch_site.azimuth": "90 deg",
            "launch_site.azimuth_min": "60 deg",
            "launch_site.azimuth_max": "120 deg",
            "dates.launch_day": lift_off.date(),
            "dates.launch_time": lift_off.time(),
            "dates.side": "ascending" if mission == 17 else "descending",
            "dates.translunar_time": f"{coast} s",
            "orbits.parking_revolutions": 2 if mission == 17 else 1,
            "orbits.lunar_altitude": f"{row['perilune_nmi'] * NMI} m",
            "orbits.capture_apolune": f"{row['apolune_nmi'] * NMI} m",
            "orbits.approach_azimuth": f"{AZIMUTHS[mission]} deg",
            "orbits.plane_turn": "at insertion",
            "landing_site.latitude": f"{latitude} deg",
            "landing_site.longitude": f"{longitude} deg",
        }
    )


def flown(mission, row):
    """Return the flight, resting in lunar orbit until it lands within an hour of the flown time."""
    scenario = scenario_of(mission, row)
    rest = next(i for i, x in enumerate(scenario.events) if x.title.startswith("rest and checks"))
    flight = walk.fly(scenario)
    early = landing_of(mission, row)[2] - landed(flight)
    return walk.fly(scenario.change(f"events.{rest}.duration", f"{REST + early / c.HOUR} h"))


def landed(flight):
    return next(each.after.elapsed for each in flight.passages if each.event.do == "land")


@pytest.mark.parametrize("mission", AZIMUTHS)
def test_insertion(table, mission):
    """Delta-v of the insertion burn, its loss and its turn included: within 1 %.

    What the 1 % holds: 0.5 % a burn's own trim, 0.3 % the altitude over a Moon that is no sphere,
    0.3 deg of azimuth, from the plane change to a foot a second, up to 0.5 %. Of 12 and 14, whose
    planes turn by 8 and 13 deg, 2.5 %: they burned away from perilune, where the planes cross more
    favourably; here the burn is at perilune, which never costs less.
    """
    row = {**table("parking_orbits")[mission], **table("injections")[mission]}
    row |= table("manoeuvres")[mission]
    flight = flown(mission, row)
    burn = next(x for x in flight.burns if x.leg == "lunar-orbit insertion")
    found = (burn.impulse + sum(burn.losses.values())) / FT
    bound = 0.025 if mission in (12, 14) else 0.01
    assert found == pytest.approx(row["insertion_ft_s"], rel=bound)
    assert burn.losses["plane turn"] > 3.0
    when = row["lift_off_utc"] + timedelta(seconds=landed(flight))
    expected = row["lift_off_utc"] + timedelta(seconds=landing_of(mission, row)[2])
    assert abs((when - expected).total_seconds()) < c.HOUR
