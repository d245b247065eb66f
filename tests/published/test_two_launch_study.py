"""A published study of a lunar landing in two launches, flown from its inputs.

NASA's Constellation programme, as it stood in 2009: a lander and an Earth departure stage wait in
Earth orbit for up to four days, a crew of four follows, docks, and leaves with both; the lander's
descent stage brakes all of it into lunar orbit. In data/two_launch_study.toml, R being read in
stored public pages and M from memory of overview charts of the launch vehicle (version 51.00.48):

- left in orbit by the first launch 188 t (R: NASA Facts, The Ares V Cargo Launch Vehicle, 2009),
  of which the lander is 45 t (R: NTRS 20100035768) and the departure stage, empty, 26.6 t (M; a
  burn of 390 s (R) with the lander alone aboard gives the same);
- its engine 1310 kN, 448 s (R); boil-off 1 to 2 % in four days, a goal (R: notes of an interview
  with the launcher's planning manager), 1.5 % here; height 241 km, inclination 29 deg (M);
- the crew's ship 19,650 lb and 27,198 lb (R: NASA Facts, Orion Crew Exploration Vehicle);
- three days to the Moon (R: NASA Facts, The Altair Lunar Lander); a polar circle at 100 km, a day
  in it, from there to a perilune of 15.24 km (R: NTRS 20100035768); descent engine 83 kN (R: an
  encyclopaedia), 448 s (M).

Neither climb is compared: two invented launchers end where the study's masses begin. Nor is the
burn for home, which the study splits into three to leave a polar orbit at any time. The lander's
split between descent and ascent is not the study's, so that only its mass as a whole counts.
"""

from __future__ import annotations

from math import exp
from pathlib import Path

import pytest

import mplan
from mplan.flight import walk
from mplan.physics import constants as c

STUDY = Path(__file__).parent / "data" / "two_launch_study.toml"
IN_ORBIT, CREW_SHIP = 188.0e3, (19_650 + 27_198) * 0.45359237  # kg
PAYLOAD = 71.1e3  # kg to the Moon with the crew's ship (R: 156,700 lb; NASA Facts: nearly 157,000)
INJECTION = 3175.0  # m/s, its losses in time not counted (M)
EMPTY, ISP = 26.6e3, 448.0  # kg and s, of the departure stage


@pytest.fixture(scope="module")
def flight():
    return walk.fly(mplan.load(STUDY))


def test_the_stage_waits_four_days_for_its_crew(flight):
    """What leaves is what both launches brought, less what boiled off and what the meeting took.

    1.5 % of 112 t in the four days, to their 5 %: it waits 63 revolutions, the burn's place in the
    next one comes on top.
    """
    burn, meeting = flight.burn_of("translunar injection"), flight.burn_of("Earth-orbit rendezvous")
    waited = burn.at_ignition.outbound.injection - burn.at_ignition.outbound.insertion
    assert waited / c.DAY == pytest.approx(4.0, abs=0.1)
    propellant = IN_ORBIT - 45.0e3 - EMPTY - (PAYLOAD - CREW_SHIP - 45.0e3)
    assert burn.boiled == pytest.approx(0.015 * propellant, rel=0.05)
    left = IN_ORBIT + CREW_SHIP - burn.boiled - meeting.propellant
    assert burn.mass == pytest.approx(left, abs=20.0)  # the masses of the file are whole 10 kg


def test_what_the_injection_takes(flight):
    """The study's figure serves any month; a single day takes up to 2 % less.

    Flown on other days of four weeks the impulse is 3141 to 3155 m/s, in 66 to 84 h 3133 to 3157.
    """
    assert 0.98 * INJECTION < flight.burn_of("translunar injection").impulse < INJECTION


def test_what_can_go_to_the_moon(flight):
    """All of the departure stage's propellant being burned: 71.1 t, and up to 5 % more.

    More, because the study keeps reserves that are not taken here: 1 % of the velocity (M: its
    rule) is 0.7 t, its injection for any month 0.7 t. The other 3 % are its goal for boil-off,
    half a per cent of which is 0.3 t, and the empty mass, from memory to half a tonne.
    """
    burn = flight.burn_of("translunar injection")
    pushed = burn.mass * exp(-burn.required / (ISP * c.G0)) - EMPTY
    assert PAYLOAD < pushed < 1.05 * PAYLOAD
    assert burn.margin > 0.0  # with that payload aboard


def test_what_is_left_of_the_lander_over_the_moon(flight):
    """Of 45 t "slightly less than 33" where the powered descent begins, the crew of four aboard.

    Slightly: 0.6 t, which is what the day decides. On others of four weeks the insertion takes 889
    to 946 m/s, and 32.4 to 33.1 t are left.
    """
    descent = flight.burn_of("powered descent")
    assert 32.4e3 < descent.mass < 33.0e3
    assert descent.at_ignition.joined(descent.element) == ("descent_stage", "ascent_stage")
