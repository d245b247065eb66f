"""Colours and looks of every picture, on a light and on a dark page.

Colours are those of Okabe and Ito (Color Universal Design, 2008), without the pale yellow, and four
of other lightness for legs. No picture tells anything by colour alone.
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from typing import Any, Literal

Theme = Literal["light", "dark"]

BLUE, ORANGE, GREEN = "#0072B2", "#E69F00", "#009E73"
VERMILION, PURPLE, SKY = "#D55E00", "#CC79A7", "#56B4E9"
CLEAR = "rgba(0,0,0,0)"  # no colour at all
# The same on a dark page, where they change places; a shade off, so that neither is taken for one
# of a light page and changed again (`dark.py`).
DARK_SKY, DARK_BLUE = "#56B4EA", "#0072B3"
# White words and lines that stay so on a dark page: paper itself turns dark there.
PALE = "#FEFEFE"
OLIVE, CYAN, WINE, BROWN = "#8A8A1F", "#0096A6", "#882255", "#8C510A"
DARK_WINE, DARK_BROWN = "#C9578F", "#C98A3D"

FONT = "'DejaVu Sans', Verdana, Arial, sans-serif"
TEXT_SIZE = 12


@dataclass(frozen=True)
class Look:
    """Colours of a page, and the ones that pictures use on it."""

    paper: str
    ink: str
    faint: str  # grids and guide lines
    quiet: str  # what is there but not the point
    main: str
    second: str
    good: str
    bad: str
    on_main: str  # words on the main colour; on the second and the quiet one: on_second
    on_second: str
    # A body and a leg of a flight have one colour in all pictures.
    earth: str
    moon: str
    sun: str
    climb: str
    outbound: str
    lunar_orbit: str
    descent: str
    surface: str
    ascent: str
    homeward: str
    entry: str
    colorway: tuple[str, ...]


LOOKS: dict[Theme, Look] = {
    "light": Look(
        paper="#FFFFFF",
        ink="#1A1A1A",
        faint="#DDDDDD",
        quiet="#8C8C8C",
        main=BLUE,
        second=ORANGE,
        good=GREEN,
        bad=VERMILION,
        on_main="#FFFFFF",
        on_second="#111111",
        earth=GREEN,
        moon="#8C8C8C",
        sun=ORANGE,
        climb=OLIVE,
        outbound=BLUE,
        lunar_orbit=CYAN,
        descent=PURPLE,
        surface="#8C8C8C",
        ascent=WINE,
        homeward=VERMILION,
        entry=BROWN,
        colorway=(BLUE, ORANGE, GREEN, VERMILION, PURPLE, SKY),
    ),
    "dark": Look(
        paper="#111111",
        ink="#EEEEEE",
        faint="#3A3A3A",
        quiet="#9A9A9A",
        main=DARK_SKY,
        second=ORANGE,
        good=GREEN,
        bad=VERMILION,
        on_main="#111111",
        on_second="#111111",
        earth=GREEN,
        moon="#9A9A9A",
        sun=ORANGE,
        climb=OLIVE,
        outbound=DARK_SKY,
        lunar_orbit=CYAN,
        descent=PURPLE,
        surface="#9A9A9A",
        ascent=DARK_WINE,
        homeward=VERMILION,
        entry=DARK_BROWN,
        colorway=(DARK_SKY, ORANGE, GREEN, VERMILION, PURPLE, DARK_BLUE),
    ),
}


def theme(wanted: Theme | None = None) -> Theme:
    """Return the theme asked for, else that of the environment's MPLAN_THEME, else light."""
    name = wanted or os.environ.get("MPLAN_THEME", "light")
    if name not in LOOKS:
        raise ValueError(f"no theme {name!r}; there are: {', '.join(LOOKS)}")
    return name


def look(wanted: Theme | None = None) -> Look:
    """Return the colours of a theme."""
    return LOOKS[theme(wanted)]


def layout(look: Look) -> dict[str, Any]:
    """Return the plotly layout that all pictures share."""
    return {
        "template": "none",
        "paper_bgcolor": look.paper,
        "plot_bgcolor": look.paper,
        "colorway": list(look.colorway),
        "font": {"family": FONT, "size": TEXT_SIZE, "color": look.ink},
        "hoverlabel": {"font": {"family": FONT}},
        "legend": {
            "orientation": "h",
            "x": 0.0,
            "y": 1.0,
            "yanchor": "bottom",
            "traceorder": "normal",
        },
        "uirevision": "keep",
        "dragmode": False,
    }


def axis(look: Look, **more: object) -> dict[str, Any]:
    """Return a plotly axis in the common look."""
    plain = {"gridcolor": look.faint, "linecolor": look.quiet, "zeroline": False, "ticks": ""}
    return {
        **plain,
        "automargin": True,
        "exponentformat": "none",
        "separatethousands": True,
        **more,
    }
