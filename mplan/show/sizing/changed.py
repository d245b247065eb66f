"""The picture of a sizing: every freed key before and after, as a share of what it was."""

from __future__ import annotations

from mplan.show.drawn import palette, rows
from mplan.show.drawn.figure import Drawing, Picture
from mplan.show.drawn.palette import Theme
from mplan.show.sizing.words import told
from mplan.studies.sizing import Sized, Sizing

ROW, EDGES = 28, 110  # px: a bar, and what stands above and below all of them
ROOM = 2.4  # the axis is this many times the longest bar, for the words


def changed(found: Sizing, *, theme: Theme | None = None) -> Picture:
    """Return the freed numbers after the search in per cent of before, and what holds each."""
    return Picture(drawing(found, theme), "sizing")


def drawing(found: Sizing, theme: Theme | None = None) -> Drawing:
    """Return the bars of `changed`: what is to be least on top, then the freed numbers."""
    look = palette.look(theme)
    told_keys = [each for each in found.keys if _share(each) is not None]
    names = [found.measure.title, *(each.freed.key for each in told_keys)]
    shares = [_least(found), *(_share(each) or 0.0 for each in told_keys)]
    said = [_value(found), *(_said(each) for each in told_keys)]
    longest = max(100.0, *shares)
    after = rows.part("after", shares, names, look.main, "", look, "%{x:.1f} % of before")
    return Drawing(
        traces=[
            {**after, "base": [0.0] * len(names)},
            rows.mark("before", [100.0] * len(names), names, look, "before"),
            rows.words(said, [max(100.0, x) for x in shares], names, look),
        ],
        **rows.axes(look, names, "per cent of what it was", 0.0, ROOM * longest),
        height=EDGES + ROW * len(names),
        summary=" ".join(told(found)),
        look=look,
        more=rows.more("overlay"),
    )


def _least(found: Sizing) -> float:
    before, after = found.value_before, found.value_after
    return 100.0 * after / before if after is not None and before else 0.0


def _value(found: Sizing) -> str:
    after = found.value_after
    said = "nothing closes" if after is None else found.measure.shown(after)
    return f"{found.measure.shown(found.value_before)} to {said}"


def _share(each: Sized) -> float | None:
    """Return a number after the search in per cent of before; None for a choice, or from zero."""
    if isinstance(each.value, str | bool) or isinstance(each.freed.now, str) or not each.freed.now:
        return None
    return 100.0 * float(each.value) / float(each.freed.now)


def _said(each: Sized) -> str:
    held = f": {each.active[0]}" if each.active else ""
    return f"{each.before} to {each.after}{held}"
