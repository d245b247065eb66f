"""Where the ideal velocity of the climb goes: gained, and lost by cause, stage by stage."""

from __future__ import annotations

from mplan.physics.climb.stage_burns import StageBurn
from mplan.plan import Plan
from mplan.scenario.wording import plain
from mplan.show.drawn import palette, rows
from mplan.show.drawn.figure import Drawing, Trace
from mplan.show.drawn.palette import Look, Theme

ROW, EDGES = 34, 100  # px: a stage, and what stands above and below all of them
WIDTH = 640  # px, in a panel
ROOM = 1.9  # the axis is this many times the longest bar, so that its words stand beside it
CAUSES = ("gravity", "drag", "steering", "pressure", "hold-down")


def drawing(plan: Plan, theme: Theme | None = None) -> Drawing:
    """Return a bar for each stage, the first on top."""
    look, parts = palette.look(theme), plan.flight.end.climb.parts
    names = [plain(part.name) for part in parts]
    longest = max(part.ideal for part in parts)
    looks = (
        (look.second, ""),
        (look.bad, "x"),
        (look.quiet, "/"),
        (look.faint, "\\"),
        (look.ink, ""),
    )
    lost = [
        _bar(cause, [part.losses.get(cause, 0.0) for part in parts], names, *style, look)
        for cause, style in zip(CAUSES, looks, strict=True)
    ]
    return Drawing(
        traces=[
            _bar("gained", [part.gained for part in parts], names, look.main, "", look),
            *lost,
            _words(parts, names, look),
        ],
        **rows.axes(look, names, "ideal velocity [m/s]", 0.0, round(ROOM * longest)),
        height=EDGES + ROW * len(parts),
        summary=summary(plan),
        look=look,
        more=rows.more("stack"),
    )


def summary(plan: Plan) -> str:
    """Return the bars in words."""
    climb = plan.flight.end.climb
    lost = ", ".join(f"{cause} {size:,.0f}" for cause, size in climb.losses.items())
    return (
        f"Of {climb.ideal:,.0f} m/s, {climb.gained:,.0f} m/s become speed over ground; "
        f"lost to {lost} m/s."
    )


def _bar(
    name: str, sizes: list[float], names: list[str], colour: str, pattern: str, look: Look
) -> Trace:
    return rows.part(name, sizes, names, colour, pattern, look, name + " %{x:,.1f} m/s")


def _words(parts: tuple[StageBurn, ...], names: list[str], look: Look) -> Trace:
    lost = [sum(part.losses.values()) for part in parts]
    texts = [
        f"{part.gained:,.0f} gained, {loss:,.0f} lost"
        for part, loss in zip(parts, lost, strict=True)
    ]
    return rows.words(texts, [part.ideal for part in parts], names, look)
