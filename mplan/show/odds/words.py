"""Odds in words: probabilities with their intervals, and what was drawn and what was not."""

from __future__ import annotations

from mplan.studies.odds import Odds, Probability

NOT_DRAWN = (
    "As planned in every mission: dates, orbits, the arc to the Moon, the attitudes of the climb "
    "in the air, what thrusters take beside burns but for masses, and all that the checks of pad, "
    "fit, falls, escape, control, terrain and rescue ask, which are not asked again.",
    "Burns that are steered to their target (climb, landing, ascent, rendezvous) reach it; an "
    "error of another is taken out at once by the same engine, or by the corrections after it.",
    "Each number is drawn for itself, and engines of one kind are alike in it; normal "
    "distributions end at 4 standard deviations.",
)
INTERVAL = (
    "Intervals: 95 % confidence, as if every mission were drawn by itself (Clopper and Pearson); "
    "a Latin hypercube scatters less, so that they are wide rather than narrow."
)
CARRY = (
    "To carry for 99 %: the load less what at least 99 % of all missions leave, with 95 % "
    "confidence (order statistics, Wilks), to first order: a heavier load takes propellant itself."
)
DRIVEN = (
    "What drives a figure: by how many of its standard deviations it moves for one of what is "
    "drawn (standardised regression); R2 tells how much of its scatter is told so."
)


def share(chance: Probability) -> str:
    """Return a probability with its interval: `90.7 % (86.8 to 93.7)`."""
    low, high = chance.interval
    return f"{percent(chance.share)} % ({percent(low)} to {percent(high)})"


def percent(part: float) -> str:
    """Return a share in per cent, to a digit more where it is near to none or all."""
    digits = 1 if 0.01 <= part <= 0.99 else 2
    return f"{100.0 * part:.{digits}f}"


def verdict(odds: Odds) -> str:
    """Return how likely the plan holds, in a sentence or two."""
    said = f"{odds.mission}: {share(odds.holds)} of {odds.flown:,} missions drawn with seed "
    said += f"{odds.seed} hold, {percent(odds.untouched.share)} % without using any burn's reserve"
    if odds.stopped:
        said += f"; stopped before {odds.asked:,} were flown"
    if odds.standing:
        said += f"; none holds whatever is drawn: {odds.standing[0]}"
    return said
