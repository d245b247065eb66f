"""Text that keeps the numbers and times in it, so that the same text of another plan compares.

A `Told` is a string like any other, for tables, terminals and files; `against` tells by how much
each of its numbers is more, or each of its times later, than in the text it is compared with.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from itertools import count
from string import Formatter
from typing import Any, NamedTuple

from mplan.physics.constants import DAY, HOUR, MINUTE
from mplan.show.columns import minutes

MINUS = "\N{MINUS SIGN}"  # which screen readers read out, unlike a hyphen


class TextDifference(NamedTuple):
    """By how much something is another: as it is written, and as it is read aloud."""

    text: str
    spoken: str


@dataclass(frozen=True)
class Number:
    """A number of a text, with so many `digits`; `bare` if its unit is not written beside it."""

    value: float
    unit: str = ""
    digits: int = 0
    bare: bool = False

    def __str__(self) -> str:
        """Return it as it is written."""
        written = f"{round(self.value, self.digits) + 0.0:,.{self.digits}f}"
        return written if self.bare else f"{written} {self.unit}".rstrip()

    def since(self, before: Number) -> TextDifference | None:
        """Return by how much it is more; None where the digits do not tell."""
        apart = round(self.value, self.digits) - round(before.value, self.digits)
        if abs(apart) < 0.5 * 10.0**-self.digits:
            return None
        size = f"{abs(apart):,.{self.digits}f} {self.unit}".rstrip()
        more = apart > 0.0
        return TextDifference(
            f"{'+' if more else MINUS}{size}", f"{size} {'more' if more else 'less'}"
        )

    def like(self, other: object) -> bool:
        """Tell whether another part is a number of the same unit."""
        return isinstance(other, Number) and other.unit == self.unit


@dataclass(frozen=True)
class When:
    """A time of a text [UTC], as `form` writes it."""

    utc: datetime
    form: str

    def __str__(self) -> str:
        """Return it as it is written."""
        return f"{self.utc:{self.form}}"

    def since(self, before: When) -> TextDifference | None:
        """Return by how much it is later; None where it is the same second."""
        seconds = (self.utc - before.utc).total_seconds()
        if abs(seconds) < 0.5 or str(self) == str(before):
            return None
        text = f"{span(abs(seconds))} {'later' if seconds > 0.0 else 'earlier'}"
        return TextDifference(text, text)

    def like(self, other: object) -> bool:
        """Tell whether another part is a time as well."""
        return isinstance(other, When)


@dataclass(frozen=True)
class Minutes:
    """A short time [s] of a text, written as minutes:seconds."""

    seconds: float

    def __str__(self) -> str:
        """Return it as it is written."""
        return minutes(self.seconds)

    def since(self, before: Minutes) -> TextDifference | None:
        """Return by how many seconds it is more; None where it is as many."""
        return Number(self.seconds, "s").since(Number(before.seconds, "s"))

    def like(self, other: object) -> bool:
        """Tell whether another part is a short time as well."""
        return isinstance(other, Minutes)


@dataclass(frozen=True)
class Named:
    """A word or a place of a text, which may be another one in another plan."""

    text: str

    def __str__(self) -> str:
        """Return it as it is written."""
        return self.text

    def since(self, before: Named) -> TextDifference | None:
        """Return what it was; None where it is the same."""
        text = f"was {before.text}"
        return None if self.text == before.text else TextDifference(text, text)

    def like(self, other: object) -> bool:
        """Tell whether another part is a word as well."""
        return isinstance(other, Named)


Measure = Number | When | Minutes | Named


class Told(str):
    """A text and its `parts`: words, and between them numbers and times."""

    parts: tuple[str | Measure, ...]

    def __new__(cls, *parts: str | Measure) -> Told:
        """Join parts; those that are Told themselves are taken apart."""
        flat = [y for x in parts for y in (x.parts if isinstance(x, Told) else (x,))]
        text = super().__new__(cls, "".join(map(str, flat)))
        text.parts = tuple(x for x in flat if x != "")
        return text


def told(form: str, *values: Any) -> Told:  # noqa: ANN401 (numbers, times, words)
    """Return a text; each {} of `form` says what a value is.

    {:.1 km} is a number with one digit and its unit, {:.1(km)} one whose unit is not written,
    {:m:s} seconds, {:%H:%M} a time [UTC], {:was} a word that is compared, {} plain words.

    >>> told("losses {:.0 m/s}, {:.1 t} left in the {}", 1655.2, 4.41, "upper stage")
    'losses 1,655 m/s, 4.4 t left in the upper stage'
    """
    parts: list[str | Measure] = []
    places = count()
    for words, field, spec, _ in Formatter().parse(form):
        parts.append(words)
        if field is not None:
            parts.append(_measure(values[next(places)], spec or ""))
    return Told(*parts)


def _measure(value: Any, spec: str) -> str | Measure:  # noqa: ANN401
    """Return a value as its place in a form says."""
    if not spec:
        return value if isinstance(value, str) else str(value)
    if spec == "m:s":
        return Minutes(value)
    if spec == "was":
        return Named(value)
    if spec.startswith("%"):
        return When(value, spec)
    unit = spec[2:].strip()
    bare = unit.startswith("(")
    return Number(value, unit.strip("()") if bare else unit, int(spec[1]), bare)


def joined(between: str, texts: list[Any]) -> Told:
    """Return texts with `between` between them."""
    parts = [part for text in texts for part in (between, text)]
    return Told(*parts[1:])


def against(now: str, before: str) -> list[tuple[str, TextDifference | None]]:
    """Return a text in pieces, each with its difference from the same piece of another text.

    Where the two do not have the same numbers in a row, or words alone differ, the whole is one
    piece, and its difference is what the other text says.
    """
    if now == before:
        return [(now, None)]
    mine, other = _numbers(now), _numbers(before)
    alike = len(mine) == len(other) and all(x.like(y) for x, y in zip(mine, other, strict=True))
    pairs = iter(zip(mine, other, strict=False))
    if alike:
        found = [_piece(part, pairs) for part in _parts(now)]
        if any(difference for _, difference in found):
            return found
    return [(now, TextDifference(f"was: {before}", f"was: {before}"))]


def span(seconds: float) -> str:
    """Return a length of time by its two largest units: "2 d 3 h", "41 s"."""
    units = (("d", DAY), ("h", HOUR), ("min", MINUTE), ("s", 1.0))
    left = round(seconds)
    parts: list[tuple[int, str]] = []
    for unit, size in units:
        count, left = divmod(left, int(size))
        if parts or count:
            parts.append((count, unit))
    return " ".join(f"{count} {unit}" for count, unit in parts[:2] if count) or "0 s"


def _parts(text: str) -> tuple[str | Measure, ...]:
    return text.parts if isinstance(text, Told) else (text,)


def _numbers(text: str) -> list[Any]:
    return [x for x in _parts(text) if isinstance(x, (Number, When, Minutes, Named))]


def _piece(part: str | Measure, pairs: Any) -> tuple[str, TextDifference | None]:  # noqa: ANN401 (an iterator)
    if isinstance(part, str):
        return part, None
    now, before = next(pairs)
    return str(part), now.since(before)
