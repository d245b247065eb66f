"""A CCSDS OEM read back: our own, foreign ones, and files that cannot be read."""

from __future__ import annotations

import warnings
from datetime import datetime, timedelta, timezone
from math import radians

import numpy as np
import pytest
from oem import OrbitEphemerisMessage

import mplan
from mplan import oem
from mplan.physics import constants as c
from mplan.physics.arcs import nbody
from mplan.physics.bodies.time import tdb_from_utc
from mplan.physics.twobody import kepler
from mplan.scenario.arguments import ArgumentError

MADE = datetime(2026, 5, 4, 3, 2, 1, tzinfo=timezone.utc)
BEGINS = datetime(2031, 5, 29, tzinfo=timezone.utc)
STEP = 60.0  # s
R, V = np.array([1848e3, 0.0, 30e3]), np.array([0.0, 1650.0, 20.0])


def row(i, *, centre_mu=c.MU_MOON, more=""):
    """Return a line of a Kepler orbit, `i` steps from its beginning."""
    r, v = kepler(R, V, i * STEP, centre_mu)
    numbers = " ".join(f"{x / 1e3:.12f}" for x in (*r, *v))
    return f"{BEGINS + timedelta(seconds=i * STEP):%Y-%m-%dT%H:%M:%S.000} {numbers}{more}"


def segment(rows=range(12), *, more="", **changes):
    """Return the lines of a segment about the Moon; a change to None leaves a keyword out."""
    first, last = (row(i).split()[0] for i in (rows[0], rows[-1]))
    stated = {
        "OBJECT_NAME": "NEEDLE",
        "OBJECT_ID": "NONE",
        "CENTER_NAME": "MOON",
        "REF_FRAME": "ICRF",
        "TIME_SYSTEM": "UTC",
        "START_TIME": first,
        "STOP_TIME": last,
        "INTERPOLATION": "HERMITE",
        "INTERPOLATION_DEGREE": "7",
    } | changes
    pairs = [f"{key} = {value}" for key, value in stated.items() if value is not None]
    return ["META_START", *pairs, "META_STOP", *(row(i, more=more) for i in rows)]


HEADER = ["CCSDS_OEM_VERS = 2.0", "CREATION_DATE = 2031-01-01T00:00:00", "ORIGINATOR = WORKSHOP"]
COVARIANCE = ["COVARIANCE_START", f"EPOCH = {row(0).split()[0]}", "1e-3"]
COVARIANCE += [" ".join(["1e-6"] * n) for n in range(2, 7)] + ["COVARIANCE_STOP"]


@pytest.fixture
def read(tmp_path):
    """Return a function that reads lines as a file called foreign.oem."""

    def reads(lines, header=HEADER, end="\n"):
        file = tmp_path / "foreign.oem"
        file.write_bytes((end.join([*header, *lines]) + end).encode())
        return mplan.read_oem(file)

    return reads


def kepler_at(after):
    return kepler(R, V, after, c.MU_MOON)


@pytest.fixture(scope="module")
def own(landing_plan, tmp_path_factory):
    file = tmp_path_factory.mktemp("own") / "plan.oem"
    file.write_text(oem.message(landing_plan, MADE), "ascii")
    return file


def test_our_own_comes_back(landing_plan, own):
    """Every time to a microsecond, every state to the digits written: half a millimetre."""
    found = mplan.read_oem(own)
    written = list(oem.segments(landing_plan))
    assert len(found.arcs) == len(written) == 2
    for arc, was in zip(found.arcs, written, strict=True):
        assert arc.times == pytest.approx(was.times, abs=1e-6)
        assert np.abs(arc.states[:, :3] - was.states[:, :3]).max() < 1e-2
        assert np.abs(arc.states[:, 3:] - was.states[:, 3:]).max() < 1e-6
        assert (arc.interpolation, arc.degree) == ("LAGRANGE", oem.DEGREE)
        assert arc.notes == ()
    assert (found.originator, found.created) == ("MPLAN", "2026-05-04T03:02:01")


def test_between_its_states_it_is_the_arc_flown(landing_plan, own):
    """Within a metre and 1 mm/s, as the file promises."""
    out = landing_plan.flight.end.outbound
    arc = mplan.read_oem(own).arcs[0]
    after = np.linspace(0.0, out.perilune.t - out.injection, 400)
    flown = nbody.path(out.r, out.v, out.injection, after)
    for t, state in zip(out.injection + after[1:-1], flown[1:-1, :6], strict=True):
        found = arc.at_tdb(t)
        assert np.linalg.norm(found.r - state[:3]) < 1.0
        assert np.linalg.norm(found.v - state[3:]) < 1e-3


def test_a_state_read_can_be_flown_on(landing_plan, own):
    """A state from the middle of the outbound arc, coasted on, comes to the same perilune."""
    out = landing_plan.flight.end.outbound
    middle = mplan.read_oem(own).arcs[0].at_tdb(out.injection + 40 * c.HOUR)
    past = mplan.coast(middle, until="perilune", longest="4 d")
    assert past.end.t == pytest.approx(out.perilune.t, abs=0.1)
    assert np.linalg.norm(past.end_at_moon.r - out.perilune.lunar_r) < 200.0


@pytest.mark.parametrize(("method", "degree"), [("HERMITE", 7), ("LAGRANGE", 5), ("HERMITE", 3)])
def test_it_interpolates_as_the_other_reader_does(read, tmp_path, method, degree):
    """The package `oem`, which shares nothing with us, gives the same place to a centimetre.

    Both put the same polynomial through the same states; near the ends and exactly between two
    windows either may choose its states otherwise, so it is the middle that is compared.
    """
    from astropy.time import Time

    ours = read(segment(INTERPOLATION=method, INTERPOLATION_DEGREE=degree)).arcs[0]
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        theirs = OrbitEphemerisMessage.open(tmp_path / "foreign.oem")
    for after in (291.0, 320.5, 347.25):
        moment = BEGINS + timedelta(seconds=after)
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # leap seconds of years to come are not known
            there = theirs(Time(moment.replace(tzinfo=None), scale="utc"))
        found = ours.at_tdb(tdb_from_utc(moment))
        tolerance = 0.01 if degree > 3 else 3.0
        assert np.linalg.norm(found.r - there.position * 1e3) < tolerance
        assert np.linalg.norm(found.v - there.velocity * 1e3) < tolerance


@pytest.mark.parametrize(
    ("method", "degree", "error", "speed"),
    [
        ("HERMITE", 7, 1e-3, 1e-5),
        ("HERMITE", 3, 0.1, 5e-3),
        ("LAGRANGE", 7, 1e-3, 1e-5),
        ("LINEAR", None, 800.0, 1.0),
        (None, None, 1e-3, 1e-5),
    ],
)
def test_between_states_it_follows_the_orbit(read, method, degree, error, speed):
    """A low lunar orbit in steps of a minute; errors [m, m/s] that such polynomials make.

    The straight line errs by a dt^2 / 8: 1.44 m/s2 over 60 s is 650 m. Below a millimetre it is
    the time that tells, held to 0.2 microseconds.
    """
    arc = read(segment(INTERPOLATION=method, INTERPOLATION_DEGREE=degree)).arcs[0]
    worst = [0.0, 0.0]
    for after in np.linspace(0.0, 660.0, 67):
        found, (r, v) = arc.at_tdb(tdb_from_utc(BEGINS) + after), kepler_at(after)
        worst = [
            max(worst[0], np.linalg.norm(found.r - r)),
            max(worst[1], float(np.linalg.norm(found.v - v))),
        ]
    assert worst[0] < error
    assert worst[1] < speed
    assert worst[0] > error / 1e4  # the bound is of its kind: no other method is meant


def test_what_is_said_of_a_file(read):
    """Facts, notes on what is left out, comments; a blank method is named."""
    lines = ["COMMENT kept", *segment(more=" 0 0 0", INTERPOLATION=None, INTERPOLATION_DEGREE=None)]
    found = read([*lines[1:3], lines[0], *lines[3:], *COVARIANCE])
    arc = found.arcs[0]
    assert arc.comments == ("kept",)
    assert arc.notes == (
        "accelerations left out",
        "covariance left out (1)",
        "no interpolation named: HERMITE of degree 7 is used",
    )
    for text in ("NEEDLE", "WORKSHOP", "12, ICRF axes, from the Moon's centre", "kept", *arc.notes):
        assert text in repr(found)
    assert not arc.states.flags.writeable


def test_centre_and_frame_are_kept_apart(read):
    """What counts from Earth is told so, what from the Moon so; small letters are allowed."""
    moon = read(segment()).at("2031-05-29 00:05")
    earth = read(segment(CENTER_NAME="earth", REF_FRAME="gcrf")).at("2031-05-29 00:05")
    assert moon.frame == "ICRF axes, from the Moon's centre"
    assert earth.frame == "GCRS, geocentric"
    assert np.array_equal(moon.r, earth.r)


def test_the_mean_equator_is_turned_by_the_frame_bias(read):
    """EME2000 against ICRF: IERS TN 36, eq. 5.21, of its published angles [mas], to 0.01 mas."""
    mas = radians(1e-3 / 3600.0)
    xi, eta, alpha = -16.6170 * mas, -6.8192 * mas, -14.6 * mas
    # R1(-eta) R2(xi) R3(alpha), small angles: from the GCRS to the mean equator of J2000.
    bias = np.array([[1.0, alpha, -xi], [-alpha, 1.0, -eta], [xi, eta, 1.0]])
    plain, turned = (read(segment(REF_FRAME=x)).arcs[0] for x in ("ICRF", "EME2000"))
    for part in (slice(0, 3), slice(3, 6)):
        theirs = turned.states[:, part] @ bias.T
        np.testing.assert_allclose(theirs, plain.states[:, part], rtol=0, atol=2e6 * 0.01 * mas)
    moved = np.linalg.norm(turned.states[:, :3] - plain.states[:, :3], axis=1).max()
    assert moved > 0.1  # m, of 1848 km: the turn is there
    assert "EME2000 turned" in turned.notes[0]


@pytest.mark.parametrize("scale", ["UTC", "TDB", "TT", "TAI", "GPS"])
@pytest.mark.parametrize(
    "epoch", ["2031-05-29T00:00:00.5", "1969-07-20T20:17:39", "2016-12-31T23:59:59.25"]
)
def test_times_are_those_of_astropy(read, scale, epoch):
    """Each time system, before leap seconds and at one, within 20 microseconds.

    astropy's TDB is of the geocentre too; both add up parts of microseconds.
    """
    from astropy.time import Time

    later = f"{int(epoch[:4]) + 1}{epoch[4:]}"
    lines = segment(TIME_SYSTEM=scale, START_TIME=epoch, STOP_TIME=later, INTERPOLATION="LINEAR")
    head = lines[: lines.index("META_STOP") + 1]
    found = read([*head, *(f"{x} 1848 0 0 0 1.6 0" for x in (epoch, later))])
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # leap seconds of years to come are not known
        theirs = Time(epoch, scale={"GPS": "tai"}.get(scale, scale.lower())).tdb
    wanted = (theirs.jd1 - 2451545.0) * c.DAY + theirs.jd2 * c.DAY
    wanted += 19.0 if scale == "GPS" else 0.0
    assert found.arcs[0].times[0] == pytest.approx(wanted, abs=2e-5)


def test_a_leap_second_is_a_second(read):
    """23:59:60 lies a second after 23:59:59, on a day that has it; days of the year are read."""
    epochs = ["2016-12-31T23:59:59", "2016-366T23:59:60.0", "2017-01-01T00:00:00Z"]
    lines = segment(START_TIME=epochs[0], STOP_TIME=epochs[2], INTERPOLATION="LINEAR")
    head = lines[: lines.index("META_STOP") + 1]
    times = read([*head, *(f"{x} 1848 0 0 0 1.6 0" for x in epochs)]).arcs[0].times
    assert np.diff(times) == pytest.approx([1.0, 1.0], abs=1e-6)


def test_several_segments(read):
    """Each has its span; at a common end the later one counts; between two it is refused."""
    jump = [x.replace(" 1", " 2", 1) if x[:2] == "20" else x for x in segment(range(11, 20))]
    found = read([*segment(), *COVARIANCE, *jump, *segment(range(30, 40))])
    assert [len(x.times) for x in found.arcs] == [12, 9, 10]
    at_end = found.at("2031-05-29 00:11:00")
    np.testing.assert_allclose(at_end.r, found.arcs[1].states[0, :3])
    with pytest.raises(ArgumentError, match="at which the file has no state; accepted: UTC 2031"):
        found.at("2031-05-29 00:25:00")
    with pytest.raises(ValueError, match="is not between 2031-05-29 00:00:00 UTC and"):
        found.arcs[0].at_tdb(0.0)


def test_usable_times_bound_what_is_given(read):
    """States outside the usable span serve to interpolate, and are not given out."""
    found = read(
        segment(USEABLE_START_TIME="2031-05-29T00:02:30", USEABLE_STOP_TIME="2031-05-29T00:08:30")
    )
    assert found.at("2031-05-29 00:02:30").distance > 1.8e6
    with pytest.raises(ArgumentError, match="no state; accepted: UTC 2031-05-29 00:02:30 to"):
        found.at("2031-05-29 00:02:29")


GOOD = segment()
DATA = len(HEADER) + GOOD.index("META_STOP") + 2  # number of the first line of data


def changed(old, new):
    return [x.replace(old, new) for x in GOOD]


@pytest.mark.parametrize(
    ("lines", "line", "text"),
    [
        (changed("ICRF", "ITRF-97"), 8, 'REF_FRAME: found "ITRF-97"; accepted: "ICRF"'),
        (changed("ICRF", "TOD"), 8, 'REF_FRAME: found "TOD"'),
        (changed("= MOON", "= MARS"), 7, 'CENTER_NAME: found "MARS"; accepted: "EARTH", "MOON"'),
        (changed("= UTC", "= UT1"), 9, 'TIME_SYSTEM: found "UT1"; accepted: "UTC", "TDB"'),
        (changed("HERMITE", "CHEBYSHEV"), 12, 'INTERPOLATION: found "CHEBYSHEV"'),
        (changed("DEGREE = 7", "DEGREE = 0"), 13, "INTERPOLATION_DEGREE: found .*from 1 to"),
        (changed("DEGREE = 7", "DEGREE = 25"), 13, "needs 13 states; the segment has 12"),
        (changed("INTERPOLATION_DEGREE = 7", ""), 12, "INTERPOLATION_DEGREE: missing, but HERMITE"),
        (changed("OBJECT_NAME = NEEDLE", ""), 14, "OBJECT_NAME: missing before META_STOP"),
        (changed("OBJECT_NAME", "OBJECT_NAEM"), 5, 'did you mean "OBJECT_NAME"'),
        (changed("OBJECT_ID", "OBJECT_NAME"), 6, "OBJECT_NAME: stated on line 5 already"),
        (changed("= NEEDLE", "="), 5, "OBJECT_NAME: found nothing"),
        (changed("OBJECT_ID = ", "OBJECT_ID "), 6, "accepted: KEYWORD = value"),
        (changed("START_TIME = 2031-05-29T00", "START_TIME = 2031-05-29 00"), 10, "START_TIME: fo"),
        (changed("T00:01:00.000 ", "T00:61:00.000 "), DATA + 1, "epoch: found .*no time in UTC"),
        (changed("29T00:01:00.000 ", "31T24:01:00.000 "), DATA + 1, "no time in UTC"),
        (changed("05-29T00:01:00.000 ", "02-30T00:01:00.000 "), DATA + 1, "no time in UTC"),
        (changed("05-29T00:01:00.000 ", "400T00:01:00.000 "), DATA + 1, "no time in UTC"),
        (changed("T00:01:00.000 ", "T00:00:60.000 "), DATA + 1, "no time in UTC"),
        (changed("T00:02:00.000 ", "T00:01:00.000 "), DATA + 2, "not later than the line before"),
        ([*GOOD[:-1], GOOD[-1] + " 1"], DATA + 11, "found 8 words"),
        ([*GOOD[:-1], GOOD[-1] + " 1 2 3"], DATA + 11, "found 10 words"),
        ([*GOOD[:-1], GOOD[-1][:-3] + "x12"], DATA + 11, "accepted: a number"),
        ([*GOOD[:-1], " ".join([*GOOD[-1].split()[:6], "nan"])], DATA + 11, 'found "nan"'),
        ([*GOOD[:-1], " ".join([*GOOD[-1].split()[:6], "1e400"])], DATA + 11, 'found "1e400"'),
        (
            [*GOOD[:-1], " ".join([*GOOD[-1].split()[:6], "1650"])],
            DATA + 11,
            "velocity: found 1,650",
        ),
        (
            changed("STOP_TIME = 2031-05-29T00:11", "STOP_TIME = 2031-05-29T00:10"),
            11,
            "60.000 s af",
        ),
        (changed("START_TIME = 2031-05-29T00:00", "START_TIME = 2031-05-29T00:01"), 10, "60.000 s"),
        (GOOD[: GOOD.index("META_STOP") + 2], 4, "found 1 states"),
        (GOOD[:-15], 12, "the file ends before META_STOP"),
        ([], 4, "the file ends before META_START"),
        ([*GOOD, *COVARIANCE[:-1]], None, "the file ends before COVARIANCE_STOP"),
        ([*GOOD, *COVARIANCE[:-1], *GOOD], None, "META_START before COVARIANCE_STOP"),
        ([*GOOD, *COVARIANCE, row(13)], None, "accepted: META_START"),
    ],
)
def test_a_broken_file_is_told(read, lines, line, text):
    """One message with file, line, key, what was found and what is accepted."""
    place = rf"foreign\.oem, line {line}: " if line else r"foreign\.oem, line \d+: "
    with pytest.raises(mplan.OemError, match=f"{place}.*{text}"):
        read(lines)


@pytest.mark.parametrize(
    ("header", "text"),
    [
        (["CCSDS_OEM_VERS = 4.0"], 'line 1: CCSDS_OEM_VERS: found "4.0"; accepted: "1.0"'),
        (["CCSDS_OPM_VERS = 2.0"], "line 1: found .*CCSDS_OEM_VERS = 2.0, with which"),
        (['<?xml version="1.0"?>'], "line 1: found XML"),
        (["\x00\x01"], "line 1: found"),
        ([*HEADER, "MESSAGE = none"], "line 4: MESSAGE: not a keyword that stands here"),
    ],
)
def test_a_file_of_another_kind_is_told(read, header, text):
    """Other messages, other forms, other versions."""
    with pytest.raises(mplan.OemError, match=text):
        read(GOOD, header=header)


def test_files_that_are_none(tmp_path):
    """A file that is not there, a folder, bytes that are no text, nothing at all."""
    with pytest.raises(mplan.OemError, match="cannot be read: No such file"):
        mplan.read_oem(tmp_path / "none.oem")
    with pytest.raises(mplan.OemError, match="cannot be read"):
        mplan.read_oem(tmp_path)
    (tmp_path / "bytes.oem").write_bytes(b"\xff\xfe\x80")
    with pytest.raises(mplan.OemError, match="bytes that are not text"):
        mplan.read_oem(tmp_path / "bytes.oem")
    (tmp_path / "empty.oem").write_bytes(b"")
    with pytest.raises(mplan.OemError, match="the file ends before META_START"):
        mplan.read_oem(tmp_path / "empty.oem")


def test_any_line_may_be_missing_or_cut(read):
    """Whatever line is lost, doubled or cut, a file is read or refused with its message."""
    whole = [*GOOD, *COVARIANCE, *segment(range(20, 25))]
    refused = 0
    for i, line in enumerate(whole):
        for other in ([], [line, line], [line[: len(line) // 2]], [line + " ="]):
            try:
                read([*whole[:i], *other, *whole[i + 1 :]])
            except mplan.OemError:
                refused += 1
    assert refused > 100


def test_other_line_ends_and_a_mark_are_read(read):
    """Lines that end as on other systems, and the mark that some editors write first."""
    assert len(read(GOOD, end="\r\n").arcs[0].times) == 12
    assert len(read(GOOD, header=["\ufeff" + HEADER[0], *HEADER[1:]]).arcs[0].times) == 12
