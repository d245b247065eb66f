"""The climb over time: height, speed, acceleration and dynamic pressure, one picture each."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from mplan.physics.climb.launch_climb import LaunchClimb
from mplan.physics.constants import G0
from mplan.plan import Plan
from mplan.scenario.wording import plain
from mplan.show.drawn import palette
from mplan.show.drawn.figure import Drawing, Trace
from mplan.show.drawn.palette import Look, Theme

HEIGHT = 300  # px
POINTS = 240  # at most, along a curve
TOLD = ("burn-out", "insertion", "end of thrust")


@dataclass(frozen=True)
class Curve:
    """A quantity of the climb over the time since lift-off, and how it is drawn."""

    name: str
    unit: str
    values: Callable[[LaunchClimb], np.ndarray]  # along the track, in the unit
    limit: Callable[[Plan], float | None] = lambda plan: None
    digits: int = 0
    side: str = "top center"  # on which words stand by their marks

    WIDTH = 640  # px, in a panel

    def drawing(self, plan: Plan, theme: Theme | None = None) -> Drawing:
        """Return the curve with the ends of the burns marked on it."""
        look, climb = palette.look(theme), plan.flight.end.climb
        t, y = climb.track.t, self.values(climb)
        limit = self.limit(plan)
        top = 1.18 * max(float(y.max()), limit or 0.0) or 1.0  # what never leaves the pad
        ticks = _ticks(top)
        return Drawing(
            traces=[
                self._line(t, y, look),
                self._limited(float(t[-1]), limit, look),
                self._marks(climb, y, look),
            ],
            x=palette.axis(
                look,
                title={"text": "time since lift-off [s]", "standoff": 6},
                range=[0.0, round(1.12 * float(max(t[-1], 1.0)))],
                fixedrange=True,
            ),
            y=palette.axis(
                look,
                title={"text": f"{self.name} [{self.unit}]", "standoff": 6},
                range=[0.0, top],
                tickvals=ticks,
                ticktext=[f"{x:,g}" for x in ticks],
                fixedrange=True,
            ),
            height=HEIGHT,
            summary=self.summary(plan),
            look=look,
        )

    def summary(self, plan: Plan) -> str:
        """Return the curve in words."""
        climb = plan.flight.end.climb
        y = self.values(climb)
        i = int(np.argmax(y))
        most, end = (f"{x:,.{self.digits}f} {self.unit}" for x in (y[i], y[-1]))
        name, after = self.name.capitalize(), climb.track.t[i]
        return f"{name}: at most {most}, after {after:.0f} s; {end} at the end."

    def _line(self, t: np.ndarray, y: np.ndarray, look: Look) -> Trace:
        step = max(1, len(t) // POINTS)
        return {
            "type": "scatter",
            "mode": "lines",
            "name": self.name,
            "x": [round(float(x), 1) for x in t[::step]],
            "y": [round(float(x), 3) for x in y[::step]],
            "line": {"color": look.climb, "width": 2, "dash": "solid"},
            "hovertemplate": f"%{{x:.0f}} s: %{{y:,.{self.digits}f}} {self.unit}<extra></extra>",
        }

    def _limited(self, end: float, limit: float | None, look: Look) -> Trace:
        """Return the limit as a line, nothing where there is none."""
        return {
            "type": "scatter",
            "mode": "lines",
            "name": "limit",
            "x": [0.0, end] if limit is not None else [],
            "y": [limit, limit] if limit is not None else [],
            "line": {"color": look.bad, "width": 2, "dash": "dash"},
            "showlegend": limit is not None,
            "hoverinfo": "name",
        }

    def _marks(self, climb: LaunchClimb, y: np.ndarray, look: Look) -> Trace:
        ends = [x for x in climb.track.events if x.what in TOLD]
        at = [int(np.searchsorted(climb.track.t, x.t)) for x in ends]
        at = [min(i, len(y) - 1) for i in at]
        return {
            "type": "scatter",
            "mode": "markers+text",
            "name": "end of a burn",
            "x": [round(x.t, 1) for x in ends],
            "y": [round(float(y[i]), 3) for i in at],
            "text": [f" {_word(x.what, x.name)} " for x in ends],
            "textposition": [self.side] * len(ends),
            "textfont": {"color": look.ink},
            "marker": {"symbol": "diamond", "size": 8, "color": look.ink},
            "cliponaxis": False,
            "hoverinfo": "text",
        }


def _word(what: str, name: str) -> str:
    return what if what == "insertion" else plain(name)


def _ticks(top: float) -> list[float]:
    """Return four to six round numbers from zero up."""
    rough = top / 5.0
    size = 10.0 ** np.floor(np.log10(rough))
    step = float(next(size * x for x in (1.0, 2.0, 5.0, 10.0) if size * x >= rough))
    return [round(i * step, 6) for i in range(int(top / step) + 1)]


ALTITUDE = Curve("height", "km", lambda climb: climb.track.altitude / 1e3, side="top left")
SPEED = Curve(
    "inertial speed", "m/s", lambda climb: np.linalg.norm(climb.track.v, axis=1), side="top left"
)
ACCELERATION = Curve(
    "acceleration felt",
    "g",
    lambda climb: climb.track.acceleration / G0,
    lambda plan: _over(plan.scenario.climb.acceleration_limit, G0),
    2,
    side="bottom right",  # the limit is above, and the thrust ends
)
PRESSURE = Curve(
    "dynamic pressure",
    "kPa",
    lambda climb: climb.track.dynamic_pressure / 1e3,
    lambda plan: _over(plan.scenario.climb.pressure_limit, 1e3),
    1,
)
CURVES = (ALTITUDE, SPEED, ACCELERATION, PRESSURE)


def _over(limit: float | None, unit: float) -> float | None:
    return None if limit is None else limit / unit
