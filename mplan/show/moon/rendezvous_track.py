"""The way to the ship as seen from it: height over distance behind, each burn marked and named."""

from __future__ import annotations

import numpy as np

from mplan.flight.rendezvous import FineBurn, Rendezvous
from mplan.physics.constants import MINUTE
from mplan.physics.rendezvous.meeting import BRAKING, LEVELLING, PLANE, RAISING, TERMINAL
from mplan.physics.rendezvous.terms import Schedule
from mplan.plan import Plan
from mplan.show.drawn import palette
from mplan.show.drawn.figure import Drawing, Trace
from mplan.show.drawn.palette import Look, Theme

HEIGHT, WIDTH = 420, 860  # px, the width in a panel
ROOM = 0.08  # of the picture, round what is drawn
TURN = 2.2  # times the distance of the raising burn: half a turn


def drawing(plan: Plan, theme: Theme | None = None) -> Drawing:
    """Return the relative motion of the ascent stage [km], the ship at zero.

    ValueError for a mission without a rendezvous.
    """
    flown = plan.flight.end.rendezvous
    if flown is None:
        raise ValueError("this mission has no rendezvous")
    look = palette.look(theme)
    track = flown.meeting.track
    along, height = track.along / 1e3, track.height / 1e3
    return Drawing(
        traces=[_track(along, height, track.t, look), _burns(flown, look), _ship(look)],
        x=palette.axis(
            look,
            title={"text": "ahead of the ship on its orbit [km], behind it below 0", "standoff": 6},
            range=_room(along[along >= _farthest(flown)], above=0.12),
            fixedrange=True,
        ),
        y=palette.axis(
            look,
            title={"text": "height over the ship's orbit [km]", "standoff": 6},
            range=_room(height, above=0.12),
            fixedrange=True,
            tickvals=_ticks(height),
            ticktext=[f"{each:,}" for each in _ticks(height)],
        ),
        height=HEIGHT,
        summary=summary(flown),
        look=look,
    )


def summary(flown: Rendezvous) -> str:
    """Return the picture in words."""
    meeting = flown.meeting
    texts = [
        f"{burn.name} {burn.delta_v:.1f} m/s {burn.range / 1e3:.0f} km from it"
        for burn in flown.burns
        if not burn.name.startswith(BRAKING)
    ]
    along = meeting.track.along / 1e3
    earlier = " Earlier turns lie to the left." if np.min(along) < _farthest(flown) else ""
    return (
        f"The ascent stage comes to the ship from {-along[0]:.0f} km behind "
        f"in {meeting.duration / MINUTE:.0f} min: {', '.join(texts)}.{earlier}"
    )


def _farthest(flown: Rendezvous) -> float:
    """Return how far behind the picture begins [km]: half a turn before it rises is enough."""
    meeting = flown.meeting
    raising = next((step for step in meeting.steps if step.name == RAISING), None)
    if raising is None:
        return float(meeting.track.along.min()) / 1e3
    there = np.interp(raising.t - meeting.active.t, meeting.track.t, meeting.track.along)
    return TURN * float(there) / 1e3


def _room(values: np.ndarray, above: float) -> list[float]:
    low, high = min(float(values.min()), 0.0), max(float(values.max()), 0.0)
    size = high - low
    return [round(low - ROOM * size, 1), round(high + above * size, 1)]


def _ticks(values: np.ndarray) -> list[int]:
    """Return every ten kilometres of a short way, every twenty or more of a long one."""
    low, high = min(float(values.min()), 0.0), max(float(values.max()), 0.0)
    reach = max(-low, high)
    step = next(size for size in (10, 20, 50, 100, 200) if reach < 8 * size or size == 200)
    most = int(reach // step) * step
    return [each for each in range(-most, most + 1, step) if low <= each <= high]


def _track(along: np.ndarray, height: np.ndarray, t: np.ndarray, look: Look) -> Trace:
    return {
        "type": "scatter",
        "mode": "lines",
        "name": "ascent stage",
        "x": np.round(along, 2).tolist(),
        "y": np.round(height, 2).tolist(),
        "customdata": np.round(t / MINUTE, 1).tolist(),
        "line": {"color": look.ascent, "width": 2, "dash": "solid"},
        "hovertemplate": "%{customdata:.0f} min: %{x:.1f} km, %{y:.1f} km<extra></extra>",
    }


def _burns(flown: Rendezvous, look: Look) -> Trace:
    """Return the burns in the picture as marks, but those of braking, which lie on the ship."""
    track, start = flown.meeting.track, flown.meeting.active.t
    times, shown = [], []
    for step, burn in zip(flown.meeting.steps, flown.burns, strict=True):
        place = float(np.interp(step.t - start, track.t, track.along)) / 1e3
        if not burn.name.startswith(BRAKING) and place >= _farthest(flown):
            times.append(step.t - start)
            shown.append(burn)
    texts = [f" {burn.name} {burn.delta_v:.1f} m/s " for burn in shown]
    return {
        "type": "scatter",
        "mode": "markers+text",
        "name": "burn",
        "x": np.round(np.interp(times, track.t, track.along) / 1e3, 2).tolist(),
        "y": np.round(np.interp(times, track.t, track.height) / 1e3, 2).tolist(),
        "text": texts,
        "textposition": [_side(burn, flown.meeting.terms.schedule) for burn in shown],
        "textfont": {"color": look.ink},
        "marker": {"symbol": "diamond", "size": 9, "color": look.ink},
        "cliponaxis": False,
        "hoverinfo": "text",
    }


def _side(burn: FineBurn, schedule: Schedule) -> str:
    """Return where a burn's words stand, clear of the track before and after it."""
    if burn.name == TERMINAL:
        return "bottom center" if schedule == "coelliptic" else "bottom right"
    return {RAISING: "top left", LEVELLING: "top center", PLANE: "bottom right"}[burn.name]


def _ship(look: Look) -> Trace:
    return {
        "type": "scatter",
        "mode": "markers+text",
        "name": "ship",
        "x": [0.0],
        "y": [0.0],
        "text": ["the ship"],
        "textposition": ["top left"],
        "textfont": {"color": look.ink},
        "marker": {"symbol": "square-open", "size": 11, "color": look.lunar_orbit},
        "cliponaxis": False,
        "hoverinfo": "text",
    }
