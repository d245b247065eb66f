"""The budget as bars: what each burn requires, reserve, margin, and what is available."""

from __future__ import annotations

from collections.abc import Sequence

from mplan.flight.record import BurnRecord
from mplan.plan import Plan
from mplan.scenario.wording import plain
from mplan.show.drawn import palette, rows
from mplan.show.drawn.figure import Drawing, Trace
from mplan.show.drawn.palette import Look, Theme

ROW, EDGES = 26, 96  # px: a burn, and what stands above and below all of them
WIDTH = 700  # px, in a panel
ROOM = 2.35  # the axis is this many times the longest bar, so that its words stand beside it


def drawing(plan: Plan, theme: Theme | None = None) -> Drawing:
    """Return the bars, the first burn on top."""
    look, burns = palette.look(theme), plan.every_burn
    names = [label(burn) for burn in burns]
    longest = max(max(burn.available, burn.required + burn.reserved) for burn in burns)
    return Drawing(
        traces=[*_bars(burns, names, look), _there(burns, names, look), _words(burns, names, look)],
        **rows.axes(look, names, "delta-v [m/s]", 0.0, round(ROOM * longest)),
        height=EDGES + ROW * len(burns),
        summary=summary(plan),
        look=look,
        more=rows.more("stack"),
    )


def summary(plan: Plan) -> str:
    """Return the bars in words."""
    short = [burn.name for burn in plan.every_burn if short_by(burn) > 0.0]
    if short:
        return f"Delta-v of {len(plan.every_burn)} burns; short: {', '.join(short)}."
    tight = plan.tightest
    if tight is None:
        return "No burn was flown."
    return (
        f"Delta-v of {len(plan.every_burn)} burns, each covered; "
        f"the least margin is {tight.margin:.0f} m/s, after {tight.name}."
    )


def label(burn: BurnRecord) -> str:
    """Return a burn's name, marked where its figure is an estimate."""
    return f"{burn.name} (estimate)" if burn.estimate else burn.name


def short_by(burn: BurnRecord) -> float:
    """Return the delta-v [m/s] that a burn, and its reserve, are short by."""
    return 0.0 if burn.burns_out else max(0.0, -burn.margin)


def goes_on(burns: Sequence[BurnRecord]) -> list[bool]:
    """Return for each burn whether its engine burns again later, from what this one leaves."""
    last = {(burn.element, burn.engine): i for i, burn in enumerate(burns)}
    return [last[burn.element, burn.engine] > i for i, burn in enumerate(burns)]


def words(burn: BurnRecord, more: bool) -> str:
    """Return a burn's numbers as the picture prints them; `more` burns of the engine follow."""
    of = f"{burn.required:,.0f} of {burn.available:,.0f} m/s"
    if burn.burns_out:
        return f"{of}, burns out"
    if short_by(burn):
        return f"{of}, SHORT BY {short_by(burn):,.0f}"
    return f"{of}, the rest for later burns" if more else f"{of}, margin {burn.margin:,.0f}"


def _bars(burns: Sequence[BurnRecord], names: list[str], look: Look) -> list[Trace]:
    """Return the parts of each bar, end to end; an estimate's first part is hatched."""
    paid = [min(burn.required, burn.available) for burn in burns]
    held = [min(burn.reserved, max(0.0, burn.available - burn.required)) for burn in burns]
    left = [0.0 if burn.burns_out else max(0.0, burn.margin) for burn in burns]
    later = goes_on(burns)
    rest = [size if more else 0.0 for size, more in zip(left, later, strict=True)]
    margin = [0.0 if more else size for size, more in zip(left, later, strict=True)]
    lack = [short_by(burn) for burn in burns]
    hatched = ["/" if burn.estimate else "" for burn in burns]
    told = " (hatched: estimate)" if any(hatched) else ""  # a short legend takes few rows
    return [
        _bar(f"required{told}", paid, names, look.main, hatched, look),
        _bar("reserved", held, names, look.second, "x", look),
        _bar("margin", margin, names, look.good, "", look),
        _bar("for later burns", rest, names, look.faint, "", look),
        _bar("SHORT", lack, names, look.bad, "\\", look),
    ]


def _bar(
    name: str,
    sizes: list[float],
    names: list[str],
    colour: str,
    pattern: str | list[str],
    look: Look,
) -> Trace:
    hover = name.split(" (")[0] + " %{x:,.1f} m/s"
    return rows.part(name, sizes, names, colour, pattern, look, hover)


def _there(burns: Sequence[BurnRecord], names: list[str], look: Look) -> Trace:
    ends = [burn.available for burn in burns]
    return rows.mark("available", ends, names, look, "%{x:,.1f} m/s available")


def _words(burns: Sequence[BurnRecord], names: list[str], look: Look) -> Trace:
    ends = [max(burn.available, burn.required + burn.reserved) for burn in burns]
    texts = [words(*pair) for pair in zip(burns, goes_on(burns), strict=True)]
    hover = [f"{plain(burn.element)}: {burn.duration:,.1f} s" for burn in burns]
    return rows.words(texts, ends, names, look, hover)
