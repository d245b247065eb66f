"""A CCSDS Orbit Ephemeris Message read in (502.0-B, versions 1 to 3, text form): `read_oem`.

What the file means: frames, time systems and units are turned into the kit's own, and whatever
the kit does not know is refused with its line, not guessed.
"""

from __future__ import annotations

import os
import re
from datetime import date, timedelta
from math import isfinite
from typing import TypeVar, get_args

import erfa
import numpy as np

from mplan.calculations.ephemeris_file import EphemerisArc, EphemerisFile, Interpolation
from mplan.calculations.oem_lines import OemError, Row, SegmentLines, Stated, lines_of
from mplan.physics.bodies.time import J2000, TimeScale, seconds_of_day, tdb_from_scale
from mplan.scenario.wording import choices, shown
from mplan.transfer_results import EARTH_FRAME, MOON_FRAME

__all__ = ["OemError", "read_oem"]

CENTRES = {"EARTH": EARTH_FRAME, "MOON": MOON_FRAME}
ICRF = ("ICRF", "ICRF1", "ICRF2", "ICRF3", "GCRF")
FRAMES = (*ICRF, "EME2000")
SCALES: tuple[TimeScale, ...] = get_args(TimeScale)
Word = TypeVar("Word", bound=str)
METHODS: tuple[Interpolation, ...] = get_args(Interpolation)
MOST_DEGREE = 27  # beyond, polynomials through equal steps swing
UNSTATED: tuple[Interpolation, int] = ("HERMITE", 7)  # where a file leaves it to the reader
FARTHEST, FASTEST = 1e7, 100.0  # km, km/s: beyond, the file is not in them
SLACK = 1e-3  # s, by which data may lie outside the stated span, for the digits of its ends
EPOCH = re.compile(r"(\d{4})-(?:(\d\d)-(\d\d)|(\d{3}))T(\d\d):(\d\d):(\d\d(?:\.\d*)?)Z?")
NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?")
A_DATE = "a date like 2031-05-25T20:00:00.000 or 2031-145T20:00:00.000"


def read_oem(path: str | os.PathLike[str]) -> EphemerisFile:
    """Return the ephemeris in a file, a CCSDS OEM in its text form (502.0-B, versions 1 to 3).

    Read are the centres EARTH and MOON, the frames ICRF, GCRF and EME2000 (turned by the frame
    bias, IERS TN 36, 43 m at the Moon's distance) and the time systems UTC, TDB, TT, TAI and GPS;
    others are refused. Covariances and accelerations are left out, and it is said. Between states
    the file's own interpolation is used, Hermite of degree 7 where it names none. OemError, with
    the line, for what cannot be read.

        >>> import mplan, tempfile, pathlib
        >>> text = '''CCSDS_OEM_VERS = 2.0
        ... CREATION_DATE = 2031-01-01T00:00:00
        ... ORIGINATOR = EXAMPLE
        ... META_START
        ... OBJECT_NAME = EXAMPLE
        ... OBJECT_ID = NONE
        ... CENTER_NAME = MOON
        ... REF_FRAME = ICRF
        ... TIME_SYSTEM = UTC
        ... START_TIME = 2031-05-29T00:00:00
        ... STOP_TIME = 2031-05-29T00:01:00
        ... META_STOP
        ... 2031-05-29T00:00:00 1847.4 0 0 0 1.629 0
        ... 2031-05-29T00:01:00 1844.814 97.694 0 -0.086 1.627 0
        ... '''
        >>> with tempfile.TemporaryDirectory() as folder:
        ...     file = pathlib.Path(folder) / "orbit.oem"
        ...     _ = file.write_text(text)
        ...     ephemeris = mplan.read_oem(file)
        >>> round(ephemeris.at("2031-05-29 00:00:30").distance / 1e3, 1)  # km
        1847.4
    """
    name = os.fspath(path)
    header, segments = lines_of(_text(name), name)
    arcs = tuple(_arc(name, each) for each in segments)
    stated = {key: value.text for key, value in header.items()}
    return EphemerisFile(name, stated.get("ORIGINATOR"), stated.get("CREATION_DATE"), arcs)


def _text(name: str) -> str:
    try:
        with open(name, encoding="utf-8-sig", newline="") as file:
            return file.read()
    except UnicodeDecodeError as problem:
        raise OemError(name, 0, "", "found bytes that are not text; accepted: ASCII") from problem
    except OSError as problem:
        raise OemError(name, 0, "", f"cannot be read: {problem.strerror or problem}") from problem


def _arc(file: str, lines: SegmentLines) -> EphemerisArc:
    """Return a segment in SI, TDB and the axes of the ICRF."""
    stated = lines.stated
    centre = _known(file, stated, "CENTER_NAME", ("EARTH", "MOON"))
    frame = _known(file, stated, "REF_FRAME", FRAMES)
    scale = _known(file, stated, "TIME_SYSTEM", SCALES)
    times, states, notes = _data(file, lines, scale)
    if frame == "EME2000":
        states = _from_mean_equator(states)
        notes.append("EME2000 turned to the ICRF by the frame bias, 0.023 arcsec")
    if lines.covariances:
        notes.append(f"covariance left out ({lines.covariances})")
    method, degree = _interpolation(file, lines, notes)
    first, last = _span(file, lines, times, scale)
    return EphemerisArc(
        name=stated["OBJECT_NAME"].text,
        object_id=stated["OBJECT_ID"].text,
        frame=CENTRES[centre],
        stated_frame=frame,
        time_system=scale,
        times=times,
        states=states,
        first=first,
        last=last,
        interpolation=method,
        degree=degree,
        comments=tuple(lines.comments),
        notes=tuple(notes),
    )


def _known(file: str, stated: dict[str, Stated], key: str, known: tuple[Word, ...]) -> Word:
    """Return the known word that a value is; the standard allows it in small letters too."""
    text, line = stated[key]
    for word in known:
        if text.upper() == word:
            return word
    raise OemError(file, line, key, f"found {shown(text)}; accepted: {choices(known)}")


def _data(
    file: str, lines: SegmentLines, scale: TimeScale
) -> tuple[np.ndarray, np.ndarray, list[str]]:
    """Return times [TDB s], states (n, 6) [m, m/s] in the file's axes, and what was left out."""
    if len(lines.rows) < 2:
        text = f"found {len(lines.rows)} states in this segment; accepted: two or more"
        raise OemError(file, lines.line, "", text)
    width = len(lines.rows[0].words)
    times: list[float] = []
    states: list[list[float]] = []
    for row in lines.rows:
        if len(row.words) not in (7, 10) or len(row.words) != width:
            text = f"found {len(row.words)} words; accepted: an epoch and 6 numbers, in all lines 9"
            raise OemError(file, row.line, "", f"{text} with accelerations")
        t = _epoch(file, Stated(row.words[0], row.line), "epoch", scale)
        if times and t <= times[-1]:
            text = f"found {row.words[0]}, not later than the line before; accepted: rising times"
            raise OemError(file, row.line, "epoch", text)
        times.append(t)
        states.append(_numbers(file, row))
    notes = ["accelerations left out"] if width == 10 else []
    return np.array(times), np.array(states) * 1e3, notes


def _numbers(file: str, row: Row) -> list[float]:
    """Return position [km] and velocity [km/s] of a line."""
    for word in row.words[1:]:
        if not (NUMBER.fullmatch(word) and isfinite(float(word))):
            raise OemError(file, row.line, "", f"found {shown(word)}; accepted: a number")
    found = [float(word) for word in row.words[1:7]]
    for name, unit, part, most in (
        ("position", "km", found[:3], FARTHEST),
        ("velocity", "km/s", found[3:], FASTEST),
    ):
        size = float(np.linalg.norm(part))
        if size > most:
            text = (
                f"found {size:,.0f} {unit}; accepted: up to {most:,.0f} {unit}, the unit of an OEM"
            )
            raise OemError(file, row.line, name, text)
    return found


def _epoch(file: str, stated: Stated, key: str, scale: TimeScale) -> float:
    """Return the TDB seconds past J2000 of a date as the standard writes it."""
    match = EPOCH.fullmatch(stated.text)
    if match is None:
        text = f"found {shown(stated.text)}; accepted: {A_DATE}"
        raise OemError(file, stated.line, key, text)
    day = _day(match)
    hours, minutes, seconds = int(match[5]), int(match[6]), float(match[7])
    after = 3600.0 * hours + 60.0 * minutes + seconds
    leap = day is not None and scale == "UTC" and after >= 86400.0 and after < seconds_of_day(day)
    if day is None or hours > 23 or minutes > 59 or not (seconds < 60.0 or leap):
        raise OemError(file, stated.line, key, f"found {stated.text}, which is no time in {scale}")
    return tdb_from_scale(day, after, scale)


def _day(match: re.Match[str]) -> date | None:
    """Return the day of the calendar, or None where there is none such."""
    try:
        if match[4] is None:
            return date(int(match[1]), int(match[2]), int(match[3]))
        first, number = date(int(match[1]), 1, 1), int(match[4])
        found = first + timedelta(days=number - 1)
    except (ValueError, OverflowError):
        return None
    return found if found.year == first.year and number > 0 else None


def _span(
    file: str, lines: SegmentLines, times: np.ndarray, scale: TimeScale
) -> tuple[float, float]:
    """Return from when to when [TDB s] the states may be used."""
    stated = lines.stated
    ends = {}
    for key in ("START_TIME", "USEABLE_START_TIME", "USEABLE_STOP_TIME", "STOP_TIME"):
        if key in stated:
            ends[key] = _epoch(file, stated[key], key, scale)
    if times[0] < ends["START_TIME"] - SLACK:
        text = f"the first state lies {ends['START_TIME'] - times[0]:.3f} s before it"
        raise OemError(file, stated["START_TIME"].line, "START_TIME", text)
    if times[-1] > ends["STOP_TIME"] + SLACK:
        text = f"the last state lies {times[-1] - ends['STOP_TIME']:.3f} s after it"
        raise OemError(file, stated["STOP_TIME"].line, "STOP_TIME", text)
    first = max(float(times[0]), ends.get("USEABLE_START_TIME", float(times[0])))
    last = min(float(times[-1]), ends.get("USEABLE_STOP_TIME", float(times[-1])))
    if first > last:
        raise OemError(file, lines.line, "", "no time of this segment is usable: it ends before")
    return first, last


def _interpolation(file: str, lines: SegmentLines, notes: list[str]) -> tuple[Interpolation, int]:
    """Return method and degree, as far as the segment has states for it."""
    stated, count = lines.stated, len(lines.rows)
    method, degree = UNSTATED
    if "INTERPOLATION" not in stated:
        degree = min(degree, 2 * count - 1)
        notes.append(f"no interpolation named: {method} of degree {degree} is used")
        return method, degree
    method = _known(file, stated, "INTERPOLATION", METHODS)
    if method == "LINEAR":
        return method, 1
    if "INTERPOLATION_DEGREE" not in stated:
        line = stated["INTERPOLATION"].line
        raise OemError(file, line, "INTERPOLATION_DEGREE", f"missing, but {method} needs it")
    text, line = stated["INTERPOLATION_DEGREE"]
    if not text.isdecimal() or not 1 <= int(text) <= MOST_DEGREE:
        raise OemError(
            file,
            line,
            "INTERPOLATION_DEGREE",
            f"found {shown(text)}; accepted: a whole number from 1 to {MOST_DEGREE}",
        )
    degree = int(text)
    needed = degree + 1 if method == "LAGRANGE" else degree // 2 + 1
    if count < needed:
        text = f"found {degree}, for which {method} needs {needed} states; the segment has {count}"
        raise OemError(file, line, "INTERPOLATION_DEGREE", text)
    return method, degree


def _from_mean_equator(states: np.ndarray) -> np.ndarray:
    """Return states (n, 6) in ICRF axes from those of the mean equator and equinox of J2000.

    The frame bias of IAU 2000 (IERS TN 36, sec. 5.2.1), in ERFA.
    """
    bias = erfa.bp00(J2000, 0.0)[0]  # from the ICRF's to the mean equator's axes
    return np.concatenate([states[:, :3] @ bias, states[:, 3:] @ bias], axis=1)
