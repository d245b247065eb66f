"""The margins of radio links over the mission's time, each over the best station that sees it."""

from __future__ import annotations

import numpy as np

from mplan.checks.contact import ContactLog, LinkCurve, links
from mplan.physics.constants import DAY
from mplan.scenario.wording import plain
from mplan.show.contact.rows import link_sentence
from mplan.show.drawn import palette
from mplan.show.drawn.figure import Drawing, Trace
from mplan.show.drawn.palette import Look, Theme

HEIGHT = 420  # px
MOST = 240  # points of a curve
TOP = 40.0  # dB: what is drawn above the margin wanted; near Earth it is far more
STEP = 10.0  # dB between ticks
DASHES = {"to Earth": "solid", "from Earth": "dot", "to a relay": "dashdot"}


def margins(log: ContactLog, theme: Theme | None = None) -> Drawing:
    """Return the margin [dB] of each radio over the mission's time [d], gaps where none is seen."""
    look = palette.look(theme)
    curves = links.best(log.links)
    radios = list(dict.fromkeys((each.element, each.radio) for each in curves))
    colours = {each: look.colorway[i % len(look.colorway)] for i, each in enumerate(radios)}
    low = min(min(each.least.margin for each in curves), 0.0)
    top = max(max(each.wanted for each in curves), low) + TOP
    ticks = np.arange(np.ceil(low / STEP) * STEP, top, STEP).tolist()
    said = link_sentence(log)
    return Drawing(
        traces=[
            *(_curve(each, colours[each.element, each.radio]) for each in curves),
            *_wanted(curves, look),
        ],
        x=palette.axis(look, title={"text": "since lift-off [d]", "standoff": 6}, fixedrange=True),
        y=palette.axis(
            look,
            title={"text": "margin over the required Eb/N0 [dB]", "standoff": 6},
            range=[low - 3.0, top],
            tickvals=ticks,
            ticktext=[f"{x:.0f}" for x in ticks],
            fixedrange=True,
        ),
        height=HEIGHT,
        summary=f"{said[:1].upper()}{said[1:]}.",
        look=look,
    )


def _curve(curve: LinkCurve, colour: str) -> Trace:
    """Return one link, thinned out but for its gaps and its lowest place."""
    kept = _thinned(curve)
    return {
        "type": "scatter",
        "mode": "lines",
        "name": f"{plain(curve.radio)} for {plain(curve.element)}, {curve.direction}",
        "x": [round(x, 4) for x in (curve.elapsed[kept] / DAY).tolist()],
        "y": [None if np.isnan(x) else round(x, 2) for x in curve.margin[kept].tolist()],
        "connectgaps": False,
        "line": {"color": colour, "width": 2, "dash": DASHES[curve.direction]},
        "hovertemplate": "%{y:.1f} dB at %{x:.3f} d",
    }


def _thinned(curve: LinkCurve) -> np.ndarray:
    """Return the samples to draw."""
    gaps = np.isnan(curve.margin)
    edges = np.flatnonzero(gaps[1:] != gaps[:-1])
    even = np.linspace(0, len(gaps) - 1, min(MOST, len(gaps))).astype(int)
    return np.unique(np.concatenate([even, edges, edges + 1, [int(np.nanargmin(curve.margin))]]))


def _wanted(curves: tuple[LinkCurve, ...], look: Look) -> list[Trace]:
    """Return level lines: no margin, and what is wanted."""
    ends = [float(curves[0].elapsed[0]) / DAY, max(float(x.elapsed[-1]) for x in curves) / DAY]
    levels = {"no margin": 0.0} | {f"{x.wanted:g} dB wanted": x.wanted for x in curves}
    return [
        {
            "type": "scatter",
            "mode": "lines",
            "name": name,
            "x": ends,
            "y": [level, level],
            "line": {
                "color": look.bad if level == 0.0 else look.ink,
                "width": 1,
                "dash": "dash",
            },
            "hoverinfo": "name",
        }
        for name, level in levels.items()
    ]
