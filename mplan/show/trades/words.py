"""A study in words: how many cases close, what is planned, and why cases were not flown."""

from __future__ import annotations

from collections import Counter

from mplan.studies.trades import Trades

REASONS = 5  # told, the most frequent first


def summary(found: Trades) -> str:
    """Return how many cases there are and what became of them, in one line."""
    study = found.study
    counted = Counter(row.outcome.closes for row in found.rows)
    told = [
        f"{counted[True]:,} close",
        f"{counted[False]:,} do not" if counted[False] else "",
        f"{counted[None]:,} cannot be flown" if counted[None] else "",
        f"{len(found.front):,} on the front" if study.objectives else "",
    ]
    left = study.count - len(found.rows)
    rest = f", {left:,} not yet flown" if left else ""
    climb = "steered for each" if study.climb == "optimised" else "kept as planned"
    count = f"{study.count:,} case{'s' if study.count != 1 else ''}"
    return f"{study.name}: {count}{rest}: {', '.join(filter(None, told))}; climb {climb}"


def reasons(found: Trades) -> list[str]:
    """Return why cases cannot be flown, with how many, the most frequent first."""
    counted = Counter(row.outcome.words for row in found.rows if row.outcome.closes is None)
    told = [f"{n:,} {'cases' if n > 1 else 'case'} {why}" for why, n in counted.most_common()]
    more = len(told) - REASONS
    return told if more <= 0 else [*told[:REASONS], f"and {more:,} other reasons"]


def objectives(found: Trades) -> str:
    """Return what is better, in words."""
    told = [f"{each.best} {each.figure}" for each in found.study.objectives]
    return ", ".join(told)
