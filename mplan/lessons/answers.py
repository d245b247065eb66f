"""A learner's answer beside what the formula gives.

Right, or by how much it is off, and the slip that leads there where one does. Right values and
slips are worked out by the question from the values it asks about; none is kept as a number.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from html import escape
from math import isfinite
from numbers import Real
from types import EllipsisType

from mplan.physics.constants import G0
from mplan.scenario.quantities import KINDS, Quantity, Unreadable, number_in
from mplan.scenario.wording import shown
from mplan.show.notebook import Words

WITHIN = 0.005  # of the right value: constants and steps rounded to three digits still pass
OPEN = "Not answered yet: replace the dots by a formula, or by a number with its unit."
ASKS = "This is what comes out if {}."


@dataclass(frozen=True)
class Slip:
    """A wrong way that people take, in words that end "what comes out if ...", and its value."""

    words: str
    value: float  # SI


@dataclass(frozen=True)
class Question:
    """What is asked: `right` [SI] is a quantity of `kind` (`quantities.KINDS`), told in `unit`."""

    kind: str
    unit: str
    right: float
    slips: tuple[Slip, ...] = ()
    within: float = WITHIN

    @property
    def si(self) -> str:
        """The unit in which a bare number is read; "" where it has none."""
        return KINDS[self.kind].si


class Verdict(Words):
    """What is said of an answer; `right` is None as long as there is none."""

    def __init__(self, text: str, right: bool | None) -> None:
        """Mark the text by a sign as well as in words."""
        self.right = right
        sign = {True: "✓", False: "✕", None: "…"}[right]
        super().__init__(f'<p role="status"><b>{sign}</b> {escape(text)}</p>', f"{sign} {text}")


def judged(answer: object, question: Question) -> Verdict:
    """Return what is said of an answer: a number in SI, a text with its unit, or dots for none."""
    if isinstance(answer, EllipsisType):
        return Verdict(OPEN, None)
    try:
        found = _read(answer, question)
    except Unreadable as problem:
        return Verdict(str(problem), False)
    if near(found, question.right, question.within):
        return Verdict(f"Right: {_told(found, question)}.", True)
    slip = next((x for x in _slips(question) if near(found, x.value, question.within)), None)
    why = ASKS.format(slip.words) if slip else "No common slip leads there: go through it again."
    off = _off(found, question.right)
    return Verdict(f"Not yet: {_told(found, question)} is {off}. {why}", False)


def near(found: float, right: float, within: float) -> bool:
    """Return whether a value lies within a share of the right one."""
    return abs(found - right) <= within * abs(right)


def _read(answer: object, question: Question) -> float:
    """Return an answer in SI; Unreadable, with the whole message, where it is no such quantity."""
    accepted = Quantity(question.kind, example=_sample(question))
    plain = f"a number in {question.si}, or " if question.si else "a bare number, or "
    if isinstance(answer, Real) and not isinstance(answer, bool):
        number = float(answer)
        if isfinite(number):
            return number
        problem = ", not a finite number"
    else:
        try:
            return accepted.read(answer)
        except Unreadable as said:
            if not question.si and isinstance(answer, str) and (bare := _bare(answer)) is not None:
                return bare
            problem = str(said)
    raise Unreadable(f"found {shown(answer)}{problem}; accepted: {plain}{accepted.accepted}")


def _bare(text: str) -> float | None:
    try:
        return float(text)
    except ValueError:
        return None


def _sample(question: Question) -> str:
    """Return a quantity of the unit asked for that gives nothing away."""
    return f"12.3 {question.unit}" if question.unit else KINDS[question.kind].example


def _told(value: float, question: Question) -> str:
    """Return a value in the unit of the question, to four digits."""
    if not question.si:
        return f"{value:.4g}"
    number = value * number_in(f"1 {question.si}", question.unit)
    return f"{_digits(number)} {question.unit}"


def _digits(number: float) -> str:
    """Return a number to four digits, and to the unit where it has more."""
    return f"{number:,.0f}" if abs(number) >= 1000.0 else f"{number:.4g}"


def _off(found: float, right: float) -> str:
    """Return by how much a value misses the right one, and to which side."""
    if right == 0.0 or found / right <= 0.0:
        return "of the wrong sign" if found else "zero, which it cannot be"
    ratio = found / right
    side = "large" if ratio > 1.0 else "small"
    times = max(ratio, 1.0 / ratio)
    if times >= 2.0:
        said = f"{times:,.0f}" if times >= 10.0 else f"{times:.2g}"
        return f"{said} times too {side}"
    return f"{abs(ratio - 1.0) * 100.0:.2g} % too {side}"


def _slips(question: Question) -> Iterator[Slip]:
    """Yield the slips of a question, then those of any; none that leads to the right value."""
    for slip in (*question.slips, *_of_any(question)):
        if not near(slip.value, question.right, question.within):
            yield slip


def _of_any(question: Question) -> Iterator[Slip]:
    """Yield slips of units and signs."""
    right = question.right
    if question.si in ("m/s", "m", "kg"):
        small, large = {"kg": ("kilograms", "tonnes")}.get(question.si, ("metres", "kilometres"))
        words = f"{large} are taken for {small} somewhere"
        yield Slip(f"{words}: write the unit behind the number", right / 1e3)
        yield Slip(f"{small} are taken for {large} somewhere", right * 1e3)
    if question.si == "s":
        yield Slip("hours are taken for seconds: write the unit behind the number", right / 3600.0)
        yield Slip("days are taken for seconds: write the unit behind the number", right / 86400.0)
        yield Slip("minutes are taken for seconds: write the unit behind the number", right / 60.0)
        yield Slip("seconds are taken for hours", right * 3600.0)
    if not question.si:
        yield Slip("a number in per cent is left without its sign: write %", right * 100.0)
    yield Slip("it is taken with the wrong sign", -right)
    yield Slip("the result is divided by two", right / 2.0)
    yield Slip("the result is doubled", right * 2.0)
    yield Slip("standard gravity is left out", right / G0)
    yield Slip("standard gravity comes in once too often", right * G0)
