"""The lines of an Orbit Ephemeris Message in its text form, KVN (CCSDS 502.0-B, sections 5 and 7).

What stands where, and on which line; what it means is for `oem_reading`.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from mplan.scenario.problems import PlainError
from mplan.scenario.wording import choices, hint, shown

Take = Callable[[int, str], Any]  # takes a line by number and words, returns what takes the next

VERSIONS = ("1.0", "2.0", "3.0")
HEADER = ("CCSDS_OEM_VERS", "CLASSIFICATION", "CREATION_DATE", "ORIGINATOR", "MESSAGE_ID")
NEEDED = (
    *("OBJECT_NAME", "OBJECT_ID", "CENTER_NAME", "REF_FRAME", "TIME_SYSTEM"),
    *("START_TIME", "STOP_TIME"),
)
METADATA = (
    *NEEDED,
    *("REF_FRAME_EPOCH", "USEABLE_START_TIME", "USEABLE_STOP_TIME"),
    *("INTERPOLATION", "INTERPOLATION_DEGREE"),
)
PAIR = re.compile(r"([A-Z][A-Z0-9_]*)\s*=\s*(.*)")
SHOWN = 40  # characters of a line in a message


class OemError(PlainError, ValueError):
    """An ephemeris file that cannot be read; str() names file, line, key, found and accepted."""

    def __init__(self, file: str, line: int, key: str, text: str) -> None:
        """Keep the message; `line` 0 means the whole file."""
        place = f"{file}, line {line}" if line else file
        super().__init__(f"{place}: {key}: {text}" if key else f"{place}: {text}")


class Stated(NamedTuple):
    """A value as it stands in the file, and on which line."""

    text: str
    line: int


class Row(NamedTuple):
    """A line of ephemeris data: its words, and its number."""

    words: list[str]
    line: int


@dataclass
class SegmentLines:
    """A segment's lines: metadata by keyword, data, how many covariance matrices were passed."""

    line: int  # of META_START
    stated: dict[str, Stated] = field(default_factory=dict)
    rows: list[Row] = field(default_factory=list)
    comments: list[str] = field(default_factory=list)
    covariances: int = 0


def lines_of(text: str, file: str) -> tuple[dict[str, Stated], list[SegmentLines]]:
    """Return header and segments of a message; OemError where it breaks the standard's form."""
    reader = _Reader(file)
    for number, line in enumerate(text.split("\n"), start=1):
        words = line.strip()
        if words == "COMMENT" or words.startswith("COMMENT "):
            reader.comment(words.removeprefix("COMMENT").strip())
        elif words:
            reader.take = reader.take(number, words)
    reader.finish(text.count("\n") + 1)
    return reader.header, reader.segments


class _Reader:
    """Takes a file line by line: `take` is the method of the part that the next line stands in."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.header: dict[str, Stated] = {}
        self.segments: list[SegmentLines] = []
        self.take: Take = self._header

    def comment(self, words: str) -> None:
        """Keep a comment of a segment; those of the header are passed."""
        if self.segments:
            self.segments[-1].comments.append(words)

    def finish(self, line: int) -> None:
        """Refuse a file that ends in the middle."""
        missing = {"_header": "META_START", "_metadata": "META_STOP"}
        missing["_covariance"] = "COVARIANCE_STOP"
        part = self.take.__name__
        if part in missing:
            raise OemError(self.file, line, "", f"the file ends before {missing[part]}")

    def _header(self, line: int, words: str) -> Take:
        if words == "META_START" and self.header:
            return self._begin(line)
        if words.startswith("<"):
            raise OemError(self.file, line, "", "found XML; accepted: the text form, KVN")
        if not self.header and not words.startswith("CCSDS_OEM_VERS"):
            accepted = "CCSDS_OEM_VERS = 2.0, with which a message begins"
            raise OemError(self.file, line, "", f"found {_short(words)}; accepted: {accepted}")
        key, value = self._pair(line, words, HEADER, self.header)
        if key == "CCSDS_OEM_VERS" and value.text not in VERSIONS:
            text = f"found {_short(value.text)}; accepted: {choices(VERSIONS)}"
            raise OemError(self.file, line, key, text)
        return self._header

    def _begin(self, line: int) -> Take:
        self.segments.append(SegmentLines(line))
        return self._metadata

    def _metadata(self, line: int, words: str) -> Take:
        stated = self.segments[-1].stated
        if words != "META_STOP":
            self._pair(line, words, METADATA, stated)
            return self._metadata
        for key in NEEDED:
            if key not in stated:
                raise OemError(self.file, line, key, "missing before META_STOP")
        return self._data

    def _data(self, line: int, words: str) -> Take:
        if words == "META_START":
            return self._begin(line)
        if words == "COVARIANCE_START":
            return self._covariance
        self.segments[-1].rows.append(Row(words.split(), line))
        return self._data

    def _covariance(self, line: int, words: str) -> Take:
        if words == "COVARIANCE_STOP":
            return self._after
        if words == "META_START":
            raise OemError(self.file, line, "", "found META_START before COVARIANCE_STOP")
        if words.startswith("EPOCH"):
            self.segments[-1].covariances += 1
        return self._covariance

    def _after(self, line: int, words: str) -> Take:
        """Take a line behind the covariance of a segment."""
        if words == "META_START":
            return self._begin(line)
        raise OemError(self.file, line, "", f"found {_short(words)}; accepted: META_START")

    def _pair(
        self, line: int, words: str, known: tuple[str, ...], found: dict[str, Stated]
    ) -> tuple[str, Stated]:
        """Keep keyword and value of a line; OemError where it is none, or none of the known."""
        match = PAIR.fullmatch(words)
        if match is None:
            text = f"found {_short(words)}; accepted: KEYWORD = value"
            raise OemError(self.file, line, "", text)
        key, value = match[1], Stated(match[2].strip(), line)
        if key not in known:
            text = f"not a keyword that stands here; {hint(key, known)}"
            raise OemError(self.file, line, key, text)
        if key in found:
            raise OemError(self.file, line, key, f"stated on line {found[key].line} already")
        if not value.text:
            raise OemError(self.file, line, key, "found nothing; accepted: a value")
        found[key] = value
        return key, value


def _short(words: str) -> str:
    return shown(words if len(words) <= SHOWN else f"{words[:SHOWN]}...")
