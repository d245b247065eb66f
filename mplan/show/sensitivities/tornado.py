"""The tornado chart: what one unit of each thing does to one margin, the most felt on top."""

from __future__ import annotations

from collections.abc import Sequence

from mplan.show.drawn import palette, rows
from mplan.show.drawn.figure import Drawing, Picture, Trace
from mplan.show.drawn.palette import Look, Theme
from mplan.show.sensitivities.tables import ranked
from mplan.studies.sensitivities.differences import Sensitivities
from mplan.studies.sensitivities.effects import Effect

ROW, EDGES = 26, 110  # px: a bar, and what stands above and below all of them
MOST = 16  # bars, the most felt
ROOM = 2.2  # the axis is this many times the longest bar to the right, for the words
DIGITS = 4  # decimals


def tornado(found: Sensitivities, burn: str = "", *, theme: Theme | None = None) -> Picture:
    """Return what one unit does to a burn's margin [m/s], the tightest if none is named.

    A limit may be named too: what one unit does to what is left of it, in its unit. ValueError for
    a burn without a margin.
    """
    return Picture(drawing(found, burn, theme), "sensitivities")


def drawing(found: Sensitivities, burn: str = "", theme: Theme | None = None) -> Drawing:
    """Return the bars of `tornado`."""
    burn = burn or found.tightest
    if burn not in found.margins and burn not in found.limits:
        raise ValueError(f"no margin after {burn!r}; there are: {', '.join(found.margins)}")
    unit, look, told = _unit(found, burn), palette.look(theme), ranked(found, burn)[:MOST]
    names = [each.variation.title for each, _ in told]
    effects = [effect for _, effect in told]
    longest = max((max(abs(x) for x in _ends(each)) for each in effects), default=1.0)
    axes = rows.axes(
        look,
        names,
        f"change of {_what(found, burn)} [{_unit(found, burn)}], by one unit",
        -1.05 * longest,
        ROOM * longest,
    )
    axes["x"] |= rows.ticks(-longest, longest)
    return Drawing(
        traces=[
            _bar("one unit more", [x.more for x in effects], names, look.main, "", look, unit),
            _bar("one unit less", [x.less for x in effects], names, look.second, "/", look, unit),
            _words(effects, names, look, unit),
        ],
        **axes,
        height=EDGES + ROW * max(1, len(names)),
        summary=summary(found, burn),
        look=look,
        more=rows.more("overlay"),
    )


def summary(found: Sensitivities, burn: str) -> str:
    """Return the chart in words."""
    told = ranked(found, burn)
    margin = f"{_what(found, burn).capitalize()} is {_size(found, burn)}"
    if not told:
        until = " until then" if found.stopped else ""
        return f"{margin}; nothing that was varied{until} is felt in it."
    first = ", ".join(f"{x.variation.title} {each.slope:+,.3g}" for x, each in told[:3])
    return f"{margin}; one unit more is felt most of: {first} {_unit(found, burn)}."


def _what(found: Sensitivities, name: str) -> str:
    return f"the margin after {name}" if name in found.margins else f"what is left of {name}"


def _unit(found: Sensitivities, name: str) -> str:
    return "m/s" if name in found.margins else found.limits[name].unit


def _size(found: Sensitivities, name: str) -> str:
    if name in found.margins:
        return f"{found.margins[name]:,.0f} m/s"
    room = found.limits[name]
    return f"{room.left:,.4g} {room.unit}"


def _ends(effect: Effect) -> tuple[float, float]:
    return effect.more or 0.0, effect.less or 0.0


def _bar(
    name: str,
    sizes: Sequence[float | None],
    names: list[str],
    colour: str,
    pattern: str,
    look: Look,
    unit: str,
) -> Trace:
    known = [size or 0.0 for size in sizes]
    hover = name + " %{x:+,.4f} " + unit
    part = rows.part(name, known, names, colour, pattern, look, hover, digits=DIGITS)
    return {**part, "base": [0.0] * len(known)}  # both from the plan, not end to end


def _words(effects: Sequence[Effect], names: list[str], look: Look, unit: str) -> Trace:
    texts = [f"{x.slope:+,.4g} ± {x.spread:.1g} {unit}" for x in effects]
    ends = [max(0.0, *_ends(x)) for x in effects]
    return rows.words(texts, ends, names, look, digits=DIGITS)
