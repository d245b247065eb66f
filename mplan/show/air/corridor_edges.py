"""The way down through the air between the edges of its corridor: altitude over speed."""

from __future__ import annotations

from mplan.flight.entry import Entry
from mplan.physics import constants as c
from mplan.physics.entry.entry_flight import EntryRow
from mplan.plan import Plan
from mplan.show.air import strokes as air_strokes
from mplan.show.air.strokes import WIDTH, curve, marks
from mplan.show.drawn import palette
from mplan.show.drawn.figure import Drawing, Trace
from mplan.show.drawn.palette import Look, Theme
from mplan.studies.entries import Edge, edges

__all__ = ["HEIGHT", "WIDTH", "drawing", "summary"]

HEIGHT = 430  # px
SLOW = 7.8e3  # m/s, about the circular speed: slower, nothing skips any more, and edges end


def drawing(plan: Plan, theme: Theme | None = None) -> Drawing:
    """Return the flown path, the corridor's edges flown, and the turning points of the path."""
    look, entry = palette.look(theme), air_strokes.entry_of(plan)
    track, corridor, flown = entry.track, entry.corridor, edges(entry)
    steep = f"steep edge, {corridor.steep / c.DEG:.2f} deg, full lift up"
    shallow = f"shallow edge, {corridor.shallow / c.DEG:.2f} deg, full lift down"
    return Drawing(
        traces=[
            _edge(flown[0], steep, (look.bad, "dash")),
            _edge(flown[1], shallow, (look.good, "dot")),
            curve("as flown", track["speed"] / 1e3, track["altitude"] / 1e3, look.entry),
            _turning_points(entry, look),
        ],
        x=air_strokes.axis(look, "speed through the air [km/s]", 12.0),
        y=air_strokes.axis(look, "altitude [km]", 130.0),
        height=HEIGHT,
        summary=summary(plan),
        look=look,
    )


def summary(plan: Plan) -> str:
    """Return the picture in words."""
    entry = air_strokes.entry_of(plan)
    steep, shallow = entry.corridor.steep / c.DEG, entry.corridor.shallow / c.DEG
    return (
        f"Entry at {entry.angle / c.DEG:.2f} deg in a corridor from {steep:.2f} to "
        f"{shallow:.2f} deg: largest load {entry.peak_load:.1f} g at "
        f"{entry.flown.peak.altitude / 1e3:.0f} km and {entry.flown.peak.speed / 1e3:.1f} km/s."
    )


def _edge(edge: Edge, name: str, style: tuple[str, str]) -> Trace:
    shown = [row for row in edge.rows if row.speed > SLOW]
    speeds, altitudes = [row.speed / 1e3 for row in shown], [row.altitude / 1e3 for row in shown]
    return curve(name, speeds, altitudes, *style)


def _turning_points(entry: Entry, look: Look) -> Trace:
    rows, peak = entry.flown.rows, entry.flown.peak
    end = "drogues" if entry.lands else "leaves the air"
    return marks(
        [
            _point(rows[0], "interface", "middle left"),
            _point(peak, f"{entry.peak_load:.1f} g", "top left"),
            _point(rows[-1], end, "middle right"),
        ],
        look,
    )


def _point(row: EntryRow, text: str, side: str) -> tuple[float, float, str, str]:
    return row.speed / 1e3, row.altitude / 1e3, text, side
