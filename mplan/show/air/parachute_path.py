"""The last minutes: drogues, mains and touchdown, with all parachutes and with one less."""

from __future__ import annotations

from mplan.flight.entry import Entry
from mplan.physics import constants as c
from mplan.physics.entry.parachutes import Opening, ParachuteDescent
from mplan.plan import Plan
from mplan.show.air import strokes as air_strokes
from mplan.show.air.strokes import WIDTH, curve, marks
from mplan.show.columns import minutes
from mplan.show.drawn import palette
from mplan.show.drawn.figure import Drawing, Trace
from mplan.show.drawn.palette import Look, Theme

__all__ = ["HEIGHT", "WIDTH", "drawing", "summary"]

HEIGHT = 340  # px
SKIPS = "No parachutes open: the entry skips out."


def drawing(plan: Plan, theme: Theme | None = None) -> Drawing:
    """Return altitude [km] over time [min] since the interface; empty where the entry skips."""
    look, entry = palette.look(theme), air_strokes.entry_of(plan)
    ways = (entry.descent, entry.one_main_less, entry.one_drogue_less)
    begin = entry.drogue_time / c.MINUTE
    lasts = max((way.duration for way in ways if way), default=600.0) / c.MINUTE
    return Drawing(
        traces=[
            _way("all parachutes", entry, ways[0], look.entry, "solid"),
            _way("one main failed", entry, ways[1], look.second, "dash"),
            _way("one drogue failed", entry, ways[2], look.bad, "dot"),
            _openings(entry, look),
        ],
        x=air_strokes.axis(
            look, "since the entry interface [min]", begin + lasts + 1.5, bottom=float(int(begin))
        ),
        y=air_strokes.axis(look, "altitude [km]", 1.05 * entry.stop / 1e3),
        height=HEIGHT,
        summary=summary(plan),
        look=look,
    )


def summary(plan: Plan) -> str:
    """Return the picture in words."""
    entry = air_strokes.entry_of(plan)
    down, fewer = entry.descent, entry.one_main_less
    if down is None or fewer is None:
        return SKIPS
    return (
        f"Drogues at {minutes(entry.drogue_time)} min and {entry.stop / 1e3:.1f} km, mains at "
        f"{minutes(entry.drogue_time + down.main_time)} min, touchdown at "
        f"{minutes(entry.drogue_time + down.duration)} min with {down.touchdown:.1f} m/s; "
        f"{fewer.touchdown:.1f} m/s with one main failed."
    )


def _way(name: str, entry: Entry, down: ParachuteDescent | None, colour: str, dash: str) -> Trace:
    falls = [] if down is None else [(fall.t, fall.altitude) for fall in down.drogues]
    if down is not None:
        falls += [(down.main_time + fall.t, fall.altitude) for fall in down.mains]
    times = [(entry.drogue_time + t) / c.MINUTE for t, _ in falls]
    return curve(name, times, [altitude / 1e3 for _, altitude in falls], colour, dash)


def _openings(entry: Entry, look: Look) -> Trace:
    down = entry.descent
    if down is None:
        return marks([], look)
    return marks(
        [
            _point(entry, 0.0, "drogues", down.drogue_opening),
            _point(entry, down.main_time, "mains", down.main_opening),
            (
                (entry.drogue_time + down.duration) / c.MINUTE,
                0.0,
                f"touchdown {down.touchdown:.1f} m/s",
                "top right",
            ),
        ],
        look,
    )


def _point(
    entry: Entry, after: float, name: str, opening: Opening
) -> tuple[float, float, str, str]:
    text = f"{name}, {opening.speed:.0f} m/s, {opening.pressure / 1e3:.1f} kPa"
    return (entry.drogue_time + after) / c.MINUTE, opening.altitude / 1e3, text, "top right"
