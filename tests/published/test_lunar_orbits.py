"""Burns about the Moon: circularising, lowering, and a published cut-off state."""

from math import cos, radians, sin

import numpy as np
import pytest

from mplan.physics import twobody
from mplan.physics.constants import MU_MOON, R_MOON

FT, NMI = 0.3048, 1852.0
SITE = 1735.5e3  # m, radius of 11's landing site, 9000 ft below the mean (read: memo 69-PA-T-76A)


def at_apsis(altitude, other, base=R_MOON):
    """Return the speed [m/s] at one apsis [n mi] of an orbit whose other is at `other` [n mi]."""
    r, far = base + altitude * NMI, base + other * NMI
    return twobody.speed(r, (r + far) / 2.0, MU_MOON)


def test_cut_off_state_of_the_second_insertion():
    """Apollo 11 mission report, table 7-II (from memory): 66.1 by 54.5 n mi from 1 n mi's print.

    Altitude 61.6 n mi, 5338.3 ft/s, flight path 0.32 deg, above the landing site's radius.
    """
    r = SITE + 61.6 * NMI
    fpa, v = radians(0.32), 5338.3 * FT
    state = np.array([r, 0.0, 0.0]), v * np.array([sin(fpa), cos(fpa), 0.0])
    orbit = twobody.conic(*state, MU_MOON)
    assert (orbit.periapsis - SITE) / NMI == pytest.approx(54.5, abs=1.0)
    assert (orbit.a * (1.0 + orbit.e) - SITE) / NMI == pytest.approx(66.1, abs=1.0)


@pytest.mark.parametrize(("mission", "flown"), [(8, 134.8), (10, 139.0)])
def test_circularising(table, mission, flown):
    """SP-2000-4029 (from memory): second insertion burns that ended in a circle, 3 %.

    The first left an apsis at 60 n mi and the second began there; a mile is 1 ft/s.
    """
    row = table("manoeuvres")[mission]
    low, high = row["perilune_nmi"], row["apolune_nmi"]
    burn = at_apsis(low, high) - twobody.circular_speed(R_MOON + low * NMI, MU_MOON)
    assert burn / FT == pytest.approx(flown, rel=0.03)


def test_lowering_by_the_orbiting_craft(table):
    """14 went from 169.0 x 58.1 to 58.8 x 9.1 n mi (both read) by 205.7 ft/s (from memory): 3 %.

    One apsis is common, where the burn was: half a mile apart in the print, 0.5 ft/s.
    """
    row = table("manoeuvres")[14]
    common = row["perilune_nmi"]
    burn = at_apsis(common, row["apolune_nmi"]) - at_apsis(common, 9.1)
    assert burn / FT == pytest.approx(205.7, rel=0.03)


def test_descent_orbit_insertion():
    """60 n mi circular to 50 000 ft: planned 74.2 ft/s (read: press kit): 5 %.

    Heights are over the site. The plan's orbit was not quite circular when it came to this burn.
    """
    r = SITE + 60 * NMI
    burn = twobody.circular_speed(r, MU_MOON) - at_apsis(60.0, 50000 * FT / NMI, SITE)
    assert burn / FT == pytest.approx(74.2, rel=0.05)
