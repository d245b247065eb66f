"""What remedies cost: the mass that each adds at lift-off or spares, whether the plan closes."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap

from mplan.checks.finding import Finding, Remedy
from mplan.checks.remedies import mass_told
from mplan.show.drawn import palette, rows
from mplan.show.drawn.figure import Drawing, Trace
from mplan.show.drawn.palette import Look, Theme

ROW, EDGES = 40, 116  # px: a change, and what stands above and below all of them
LINE = 34  # letters of a change in a line of its row's name
LONG = 56  # letters of an outcome that stand beside a bar
MOST = 12  # changes
SMALL = 2e3  # kg: bars below it are in kilograms
ROOM = 2.6  # the axis goes on by so many times the longest bar, for the words


def drawing(found: Sequence[Finding], theme: Theme | None = None) -> Drawing:
    """Return a bar a change that was flown, those that close the plan in another colour."""
    look, told = palette.look(theme), changes(found)
    names = [_name(place, each) for place, each in enumerate(told, 1)]
    unit, size = _unit(told)
    sizes = [(each.lift_off or 0.0) / size for each in told]
    longest = max((abs(x) for x in sizes), default=0.0) or 1.0
    low, high = min((0.0, *sizes)), max((0.0, *sizes))
    axes = rows.axes(look, names, f"more mass at lift-off [{unit}]", low - 0.1 * longest, 0.0)
    axes["x"] |= {"range": [low - 0.1 * longest, high + ROOM * longest], **rows.ticks(low, high)}
    return Drawing(
        traces=[
            _bar("the plan closes", told, names, sizes, unit, look, closes=True),
            _bar("it does not close", told, names, sizes, unit, look, closes=False),
            _words(told, names, sizes, look),
        ],
        **axes,
        height=EDGES + ROW * max(1, len(told)),
        summary=summary(found),
        look=look,
        more=rows.more("overlay"),
    )


def changes(found: Sequence[Finding]) -> list[Remedy]:
    """Return the changes of all findings, each once, those that close the plan first."""
    every = dict.fromkeys(x for finding in found for x in finding.remedies)
    return sorted(every, key=lambda x: (not x.closes, x.lift_off is None, x.lift_off or 0.0))[:MOST]


def summary(found: Sequence[Finding]) -> str:
    """Return how many changes were flown and shown, and the lightest that closes the plan."""
    told = changes(found)
    closing = [each for each in told if each.closes]
    if not told:
        return "No change was flown that ends a finding."
    said = f"changes flown that end a finding: {len(told)}, that close the plan: {len(closing)}"
    said = said.capitalize()
    if not closing or closing[0].lift_off is None:
        return f"{said}."
    return f"{said}; the lightest: {closing[0].change}, {_mass(closing[0])} at lift-off."


def _name(place: int, remedy: Remedy) -> str:
    lines = wrap(remedy.change, LINE)
    more = "…" if len(lines) > 2 else ""
    return f"{place}  " + "<br>".join(lines[:2]) + more


def _mass(remedy: Remedy) -> str:
    mass = remedy.lift_off
    return "mass not told" if mass is None else mass_told(mass)


def _unit(told: Sequence[Remedy]) -> tuple[str, float]:
    """Return the unit of the bars, and its size [kg]."""
    small = max((abs(each.lift_off or 0.0) for each in told), default=0.0) < SMALL
    return ("kg", 1.0) if small else ("t", 1e3)


def _bar(
    name: str,
    told: Sequence[Remedy],
    names: list[str],
    sizes: list[float],
    unit: str,
    look: Look,
    *,
    closes: bool,
) -> Trace:
    own = [x if each.closes == closes else 0.0 for x, each in zip(sizes, told, strict=True)]
    colour, pattern = (look.main, "") if closes else (look.quiet, "/")
    part = rows.part(name, own, names, colour, pattern, look, f"%{{x:+,.1f}} {unit}", digits=3)
    return {**part, "base": [0.0] * len(own)}


def _words(told: Sequence[Remedy], names: list[str], sizes: list[float], look: Look) -> Trace:
    ends = [max(0.0, size) for size in sizes]
    texts, hover = [_said(each) for each in told], [each.outcome for each in told]
    return rows.words(texts, ends, names, look, hover, digits=3)


def _said(remedy: Remedy) -> str:
    """Return whether the plan closes, and what the change costs, as far as there is room."""
    first, *parts = remedy.outcome.split("; ")
    costs = [x for part in parts for x in part.split(", ") if "lift-off mass" not in x]
    said = f"{first if remedy.closes else 'no'}: {', '.join((_mass(remedy), *costs))}"
    return said if len(said) <= LONG else f"{said[: LONG - 1].rstrip(' ,;(')}…"
