"""The arcs as an OEM, read back by `oem`, a reader of the standard that shares nothing with us."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import datetime, timedelta, timezone

import numpy as np
import pytest
from oem import OrbitEphemerisMessage

from mplan import oem
from mplan.flight.steps import interface_of
from mplan.physics.arcs import nbody
from mplan.physics.bodies.time import utc_from_tdb

MADE = datetime(2026, 5, 4, 3, 2, 1, tzinfo=timezone.utc)
# 502.0-B-2, tables 5-2 and 5-3: mandatory keywords, and what we add, in the order of the standard.
HEADER = ["CCSDS_OEM_VERS", "CREATION_DATE", "ORIGINATOR"]
METADATA = ["OBJECT_NAME", "OBJECT_ID", "CENTER_NAME", "REF_FRAME", "TIME_SYSTEM"]
METADATA += ["START_TIME", "STOP_TIME", "INTERPOLATION", "INTERPOLATION_DEGREE"]


@pytest.fixture(scope="module")
def text(any_plan):
    return oem.message(any_plan, MADE)


@pytest.fixture(scope="module")
def read(text, tmp_path_factory):
    file = tmp_path_factory.mktemp("oem") / "plan.oem"
    file.write_text(text, "ascii")
    return OrbitEphemerisMessage.open(file)


def arcs_of(plan):
    """Return start state, start [TDB s], last state and end of each arc, from the plan itself."""
    end = plan.flight.end
    out, last = end.outbound, interface_of(end)
    near = out.perilune
    back = end.homeward or near
    return [(out.r, out.v, out.injection, near), (back.r, back.v, back.t, last)]


def seconds(epoch):
    """Return TDB s past J2000 of a time as the reader holds it, in two parts."""
    return (epoch.jd1 - 2451545.0) * 86400.0 + epoch.jd2 * 86400.0


def test_segments_are_the_arcs_of_the_plan(any_plan, read):
    """An arc a segment, about Earth, in ICRF axes and TDB."""
    assert len(read.segments) == 2
    for segment in read.segments:
        assert segment.metadata["CENTER_NAME"] == "EARTH"
        assert segment.metadata["REF_FRAME"] == "ICRF"
        assert segment.metadata["TIME_SYSTEM"] == "TDB"
        assert segment.metadata["INTERPOLATION"] == "LAGRANGE"


def test_ends_are_those_of_the_plan(any_plan, read):
    """First and last states are the plan's: the first as it stands, the last as integrated.

    Epochs have microseconds, 11 mm at 11 km/s. The path to the last state is sampled instead of
    stopped: two integrations, each of which is off by up to 0.1 m along its track when it comes
    home (against a tolerance of 2e-16: `nbody_heyoka.TOLERANCE`). That is 9 microseconds, in which
    gravity there gives 9e-5 m/s.
    """
    for segment, (r, v, t, last) in zip(read.segments, arcs_of(any_plan), strict=True):
        states = list(segment.states)
        assert states[0].position * 1e3 == pytest.approx(r, abs=1e-3)
        assert states[0].velocity * 1e3 == pytest.approx(v, abs=1e-6)
        assert states[-1].position * 1e3 == pytest.approx(last.r, abs=0.25)
        assert states[-1].velocity * 1e3 == pytest.approx(last.v, abs=2.5e-4)
        for epoch, wanted in ((segment.span[0], t), (segment.span[1], last.t)):
            assert seconds(epoch) == pytest.approx(wanted, abs=2e-6)


def test_interpolation_errs_by_less_than_a_metre(any_plan, read):
    """The reader's own Lagrange of the stated degree, against the arc flown to the same times.

    Looked at three times in every step, those next to the ends included.
    """
    for segment, (r, v, t, _) in zip(read.segments, arcs_of(any_plan), strict=True):
        nodes = np.array([seconds(state.epoch) for state in segment.states]) - t
        between = np.sort([nodes[:-1] + x * np.diff(nodes) for x in (0.15, 0.5, 0.85)], axis=None)
        flown = nbody.path(r, v, t, np.concatenate([[0.0], between]))[1:, :6]
        start = next(segment.states).epoch
        for after, state in zip(between, flown, strict=True):
            found = segment(start + timedelta(seconds=float(after)))
            assert np.linalg.norm(found.position * 1e3 - state[:3]) < 1.0
            assert np.linalg.norm(found.velocity * 1e3 - state[3:]) < 1e-3


def test_a_coarser_file_would_fail(any_plan, monkeypatch):
    """Steps three times as long err by far more than a metre: the check above can fail."""
    monkeypatch.setattr(oem, "STEP", 3 * oem.STEP)
    segment = next(oem.segments(any_plan))
    out = any_plan.flight.end.outbound
    after = segment.times - segment.times[0]
    middles = (after[:-1] + after[1:]) / 2.0
    flown = nbody.path(out.r, out.v, out.injection, np.concatenate([[0.0], middles]))[1:, :3]
    errors = []
    for i in range(4, len(middles) - 4):
        near = slice(i - 3, i + 5)
        scaled = (after[near] - middles[i]) / (after[i + 1] - after[i])
        poly = np.polyfit(scaled, segment.states[near, :3], oem.DEGREE)
        errors.append(np.linalg.norm(poly[-1] - flown[i]))
    assert max(errors) > 30.0


def test_keywords_stand_in_the_order_of_the_standard(text):
    """Header and metadata hold each keyword once, in order; comments come where they may."""
    head, *rest = text.split("META_START")
    assert re.findall(r"^([A-Z_]+) =", head, re.M) == HEADER
    for segment in rest:
        metadata, data = segment.split("META_STOP")
        assert re.findall(r"^([A-Z_]+) =", metadata, re.M) == METADATA
        assert "COMMENT" not in data
        assert metadata.startswith("\nCOMMENT")


def test_the_file_is_plain_and_small(text):
    """ASCII, lines of 254 characters at most (502.0-B-2, 7.3), and no more than 150 kB."""
    assert text.isascii()
    assert max(map(len, text.splitlines())) <= 254
    assert len(text) < 150_000


def test_numbers_have_the_digits(text):
    """Six numbers a line, each of twelve significant digits, in rising order of time."""
    rows = [x.split() for x in text.splitlines() if re.match(r"\d{4}-", x)]
    assert len(rows) > 300
    for row in rows:
        assert len(row) == 7
        assert all(re.fullmatch(r"-?\d\.\d{11}e[+-]\d\d", number) for number in row[1:])
    assert [row[0] for row in rows] == sorted(row[0] for row in rows)


def test_comments_give_the_utc(any_plan, text):
    """What people read is UTC, and it is the plan's."""
    for _, _, t, last in arcs_of(any_plan):
        begins, ends = (f"{utc_from_tdb(x):%Y-%m-%d %H:%M:%S}" for x in (t, last.t))
        assert f"COMMENT from {begins} to {ends} UTC" in text


def test_the_object_is_not_passed_off_as_registered(text, read):
    """The object's name bears no international designator (YYYY-NNNP)."""
    for segment in read.segments:
        assert not re.match(r"\d{4}-\d{3}", segment.metadata["OBJECT_ID"])
    assert "CREATION_DATE = 2026-05-04T03:02:01\n" in text


@pytest.mark.parametrize(
    ("name", "shown"),
    [("Mond für alle", "MOND FUR ALLE"), ("月", "UNNAMED"), ("é" * 160, "E" * 80)],
)
def test_any_name_fits_a_line(landing_plan, name, shown):
    """A long name, or one in another script, breaks neither the line nor the character set."""
    renamed = landing_plan.scenario.change("mission.name", name)
    text = oem.message(
        replace(landing_plan, flight=replace(landing_plan.flight, scenario=renamed)), MADE
    )
    assert f"OBJECT_NAME = {shown}\n" in text
    assert text.isascii()
    assert max(map(len, text.splitlines())) <= 254
