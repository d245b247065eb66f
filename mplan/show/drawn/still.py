"""Still pictures: the plotly traces that our drawings use, drawn again by matplotlib.

Bars along x, lines, markers, words and maps of cells on plain axes, and no more. Drawn through
the object interface, which no thread shares.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from typing import Any, TypedDict

import numpy as np
import plotly.graph_objects as go
from matplotlib import colormaps, rc_context
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.colors import to_rgba
from matplotlib.figure import Figure
from matplotlib.layout_engine import ConstrainedLayoutEngine
from matplotlib.ticker import FuncFormatter, MultipleLocator
from PIL import Image

from mplan.cautions import CAUTIONS
from mplan.show.drawn.palette import CLEAR

WIDTH = 840  # px: what JupyterLab shows unscaled beside its file list, in a window of 1280 px
DPI = 100
POINT = 0.75  # a CSS pixel in points
SHARP = 1.0  # of WIDTH
COLOURS = 32, 64  # of lines and words, and of maps
SHADES = 32  # of a map, so that its words keep theirs

DASHES = {"solid": "-", "dash": "--", "dot": ":", "dashdot": "-."}
SYMBOLS = {
    "circle": "o",
    "circle-open": "o",
    "diamond": "D",
    "diamond-open": "D",
    "square-open": "s",
    "line-ns": "|",
}
HATCHES = {"": "", "/": "////", "x": "xxxx", "\\": "\\\\\\\\"}
SIDES = {
    "middle right": (1, 0, "left", "center"),
    "middle left": (-1, 0, "right", "center"),
    "middle center": (0, 0, "center", "center"),
    "top right": (1, 0, "left", "bottom"),
    "top left": (-1, 0, "right", "bottom"),
    "bottom right": (1, 0, "left", "top"),
    "bottom left": (-1, 0, "right", "top"),
    "top center": (0, 0.7, "center", "bottom"),
    "bottom center": (0, -0.7, "center", "top"),
}
COLUMNS = 6  # of a legend, at most
BAR = 0.7  # of a row's height
OUTLINE = 1.0  # px, from which on the edge of a bar means something
AWAY = 8  # points between a place and its words


class _Shown(TypedDict, total=False):
    """How a trace is named in the legend; empty where it is not."""

    label: str


def png(figure: go.Figure) -> bytes:
    """Return a figure of ours as a PNG; a dollar sign in a name begins no formula."""
    with rc_context({"text.parse_math": False}):
        return _png(figure)


def _png(figure: go.Figure) -> bytes:
    layout = figure.layout
    height = layout.height
    page = Figure(
        (WIDTH / DPI, height / DPI), DPI, layout=ConstrainedLayoutEngine(w_pad=0.08, h_pad=0.06)
    )
    page.set_facecolor(layout.paper_bgcolor)
    canvas = FigureCanvasAgg(page)
    axes = page.add_subplot()
    _dress(axes, layout)
    rows = _rows(layout)
    ends: dict[float, float] = {}  # how far each stacked bar has come
    for trace, up in _beside(figure):
        moved = {name: place + up for name, place in rows.items()}
        _BY_TYPE[trace.type](axes, trace, moved, ends, layout)
    _frame(axes, layout, rows)
    if layout.showlegend is not False:
        _legend(page, layout)
    _caution(page, layout)
    return _packed(canvas, COLOURS[any(trace.type == "heatmap" for trace in figure.data)])


def _beside(figure: go.Figure) -> Iterator[tuple[Any, float]]:
    """Yield each trace, and how far up of its row it lies: grouped bars share the row's height."""
    bars = [trace for trace in figure.data if trace.type == "bar"]
    if figure.layout.barmode != "group" or len(bars) < 2:
        yield from ((trace, 0.0) for trace in figure.data)
        return
    wide = BAR / len(bars)
    places = {id(bar): (i + 0.5) * wide - BAR / 2.0 for i, bar in enumerate(bars)}
    for trace in figure.data:
        if id(trace) in places:
            alone = {**trace.to_plotly_json(), "width": wide}
            yield go.Bar(alone), places[id(trace)]
        else:
            yield trace, 0.0


def _legend(page: Figure, layout: go.Layout) -> None:
    """Put the legend above the axes, in as many columns as fit; none where nothing has a name."""
    if not any(axes.get_legend_handles_labels()[1] for axes in page.axes):
        return
    for columns in range(COLUMNS, 0, -1):
        legend = page.legend(
            loc="outside upper left",
            ncols=columns,
            frameon=False,
            fontsize=_points(layout) - 1,
            labelcolor=layout.font.color,
            handlelength=1.6,
            columnspacing=1.2,
        )
        if columns == 1 or legend.get_window_extent().width <= WIDTH:
            return
        legend.remove()


def _caution(page: Figure, layout: go.Layout) -> None:
    """Say below the axes what the picture is not for; it goes where the still picture goes."""
    page.supxlabel(
        CAUTIONS[0],
        x=0.99,
        ha="right",
        fontsize=_points(layout) - 2,
        color=layout.font.color,
        style="italic",
    )


def _packed(canvas: FigureCanvasAgg, colours: int) -> bytes:
    """Return the page as a PNG of few colours: a third of the bytes, and none the worse."""
    canvas.figure.set_dpi(DPI * SHARP)
    canvas.draw()
    picture = Image.frombuffer("RGBA", canvas.get_width_height(), canvas.buffer_rgba())
    out = io.BytesIO()
    picture.convert("RGB").quantize(colours, Image.Quantize.MAXCOVERAGE).save(
        out, format="png", optimize=True
    )
    return out.getvalue()


def _points(layout: go.Layout) -> float:
    return layout.font.size * POINT


def _rows(layout: go.Layout) -> dict[Any, float]:
    """Return where the categories of the y axis stand."""
    return {name: float(i) for i, name in enumerate(layout.yaxis.categoryarray or ())}


def _places(values: Any, rows: dict[Any, float]) -> list[float]:  # noqa: ANN401 (plotly's arrays)
    return [rows.get(value, value) if rows else value for value in values]


def _each(value: Any, count: int) -> list[Any]:  # noqa: ANN401 (one for all, or a list)
    return list(value) if isinstance(value, (list, tuple)) else [value] * count


def _dress(axes: Axes, layout: go.Layout) -> None:
    ink, size = layout.font.color, _points(layout)
    axes.set_facecolor(layout.plot_bgcolor)
    axes.set_xlabel(layout.xaxis.title.text.replace("<br>", "\n"), color=ink, fontsize=size)
    axes.set_ylabel(layout.yaxis.title.text or "", color=ink, fontsize=size)
    axes.tick_params(colors=ink, labelsize=size - 1, length=0)
    axes.set_axisbelow(True)
    for axis, lines in ((layout.xaxis, axes.xaxis), (layout.yaxis, axes.yaxis)):
        if axis.showgrid is not False:
            lines.grid(color=axis.gridcolor, linewidth=0.7)
    for spine in axes.spines.values():
        spine.set_visible(False)


def _frame(axes: Axes, layout: go.Layout, rows: dict[Any, float]) -> None:
    """Set ranges and ticks, once everything is drawn."""
    if layout.xaxis.range:
        axes.set_xlim(*layout.xaxis.range)
    if layout.xaxis.tickvals:
        axes.set_xticks(layout.xaxis.tickvals, layout.xaxis.ticktext)
    elif layout.xaxis.dtick:
        axes.xaxis.set_major_locator(MultipleLocator(layout.xaxis.dtick))
    else:
        axes.xaxis.set_major_formatter(FuncFormatter(lambda value, _: f"{value:,.0f}"))
    if layout.yaxis.scaleanchor:
        axes.set_aspect("equal")
        axes.yaxis.set_major_formatter(FuncFormatter(lambda value, _: f"{value:,.0f}"))
    if layout.yaxis.dtick:
        axes.yaxis.set_major_locator(MultipleLocator(layout.yaxis.dtick))
    if rows:
        axes.set_yticks(list(rows.values()), [str(x).replace("<br>", "\n") for x in rows])
        axes.set_ylim(-0.7, len(rows) - 0.3)
    elif layout.yaxis.range:
        axes.set_ylim(*layout.yaxis.range)
        axes.set_yticks(layout.yaxis.tickvals, layout.yaxis.ticktext)


def _bar(
    axes: Axes, trace: go.Bar, rows: dict[Any, float], ends: dict[float, float], layout: go.Layout
) -> None:
    count = len(trace.x)
    places = _places(trace.y, rows)
    stacked = layout.barmode == "stack"
    starts = (
        [ends.get(y, 0.0) for y in places]
        if stacked and trace.base is None
        else _each(0.0 if trace.base is None else trace.base, count)
    )
    colours = [_clear(colour) for colour in _each(trace.marker.color, count)]
    hatches = _each(trace.marker.pattern.shape or "", count)
    outlines = _each(trace.marker.line.width or 0.0, count)
    inks = _each(trace.marker.line.color, count)
    parts = zip(places, starts, trace.x, colours, hatches, outlines, inks, strict=True)
    for y, start, size, colour, hatch, outline, ink in parts:
        place = {"y": y, "width": size, "left": start, "height": trace.width or BAR}
        axes.barh(
            **place,
            color=colour,
            hatch=HATCHES[hatch],
            edgecolor=_faded(trace, layout),
            linewidth=0.0,
        )
        if outline >= OUTLINE:  # a hatch has the colour of its bar's own edge
            axes.barh(**place, color="none", edgecolor=ink, linewidth=outline * POINT)
        if trace.base is None:
            ends[y] = start + size
    _intervals(axes, trace, places)
    if trace.name:
        _legend_bar(axes, trace, _each(trace.marker.color, 1)[0], layout)


def _intervals(axes: Axes, trace: go.Bar, places: list[float]) -> None:
    """Draw how far about the end of each bar the truth may lie, where that is told."""
    error = trace.error_x
    if error.array is None:
        return
    below = error.array if error.arrayminus is None else error.arrayminus
    axes.errorbar(
        trace.x,
        places,
        xerr=[list(below), list(error.array)],
        fmt="none",
        ecolor=error.color,
        elinewidth=(error.thickness or 1.5) * POINT,
        capsize=(error.width or 4) * POINT,
    )


def _legend_bar(axes: Axes, trace: go.Bar, colour: str, layout: go.Layout) -> None:
    hatch = next((HATCHES[x] for x in _each(trace.marker.pattern.shape, 1) if x), "")
    edge: dict[str, Any] = {"edgecolor": _faded(trace, layout), "linewidth": 0.0}
    if (outline := _each(trace.marker.line.width or 0.0, 1)[0]) and _clear(colour) == "none":
        edge = {"edgecolor": trace.marker.line.color, "linewidth": outline * POINT}
    axes.barh(0, 0, color=_clear(colour), hatch=hatch, label=trace.name, **edge)


def _faded(trace: go.Bar, layout: go.Layout) -> tuple[float, float, float, float]:
    """Return the colour of a hatch, as clear as the page has it."""
    opacity = trace.marker.pattern.fgopacity
    return to_rgba(layout.paper_bgcolor, 1.0 if opacity is None else opacity)


def _clear(colour: str) -> str:
    """Return a colour as matplotlib names it, which knows none of the page's words for clear."""
    return "none" if colour == CLEAR else colour


def _scatter(
    axes: Axes,
    trace: go.Scatter,
    rows: dict[Any, float],
    ends: dict[float, float],
    layout: go.Layout,
) -> None:
    x, y = list(trace.x), _places(trace.y, rows)
    shown: _Shown = {} if trace.showlegend is False else {"label": trace.name}
    if trace.fill == "toself":
        shown = _area(axes, trace, x, y, shown)
    if "lines" in trace.mode:
        axes.plot(
            x,
            y,
            color=trace.line.color,
            linestyle=DASHES[trace.line.dash or "solid"],
            linewidth=(trace.line.width or 2) * POINT,
            **(shown if "markers" not in trace.mode else {}),
        )
    if "markers" in trace.mode:
        _markers(axes, trace, x, y, shown)
    if "text" in trace.mode:
        for place in _texts(trace, x, y):
            axes.annotate(**place, fontsize=_points(layout) - 1)


def _area(axes: Axes, trace: go.Scatter, x: list[float], y: list[float], shown: _Shown) -> _Shown:
    """Fill an area; return what is left for its outline to say in the legend."""
    hatch, ink = HATCHES[trace.fillpattern.shape or ""], trace.fillpattern.fgcolor
    if not hatch:
        axes.fill(x, y, color=_clear(trace.fillcolor))
        return shown
    axes.fill(x, y, facecolor="none", edgecolor=ink, hatch=hatch, linewidth=0.0, **shown)
    return {}


def _markers(axes: Axes, trace: go.Scatter, x: list[float], y: list[float], shown: _Shown) -> None:
    for i, symbol in enumerate(dict.fromkeys(_each(trace.marker.symbol, len(x)))):
        chosen = [j for j, each in enumerate(_each(trace.marker.symbol, len(x))) if each == symbol]
        colour = trace.marker.color
        axes.plot(
            [x[j] for j in chosen],
            [y[j] for j in chosen],
            linestyle="",
            marker=SYMBOLS[symbol],
            markersize=trace.marker.size * POINT,
            markeredgewidth=(trace.marker.line.width or 1) * POINT,
            markeredgecolor=trace.marker.line.color or colour,
            markerfacecolor="none" if symbol.endswith("open") else colour,
            **(shown if i == 0 else {}),
        )


def _texts(trace: go.Scatter, x: list[float], y: list[float]) -> Iterator[dict[str, Any]]:
    sides = _each(trace.textposition, len(x))
    colours = _each(trace.textfont.color, len(x))
    for x1, y1, text, side, colour in zip(x, y, trace.text, sides, colours, strict=True):
        right, up, ha, va = SIDES[side]
        yield {
            "text": text.strip(),
            "xy": (x1, y1),
            "xytext": (right * AWAY, up * AWAY),
            "textcoords": "offset points",
            "ha": ha,
            "va": va,
            "color": colour,
            "annotation_clip": False,
        }


def _heatmap(
    axes: Axes,
    trace: go.Heatmap,
    rows: dict[Any, float],
    ends: dict[float, float],
    layout: go.Layout,
) -> None:
    z = np.array(trace.z, dtype=float)
    shades = colormaps["cividis"].resampled(SHADES)
    cells = axes.pcolormesh(trace.x, trace.y, z, cmap=shades, shading="nearest")
    bar = axes.figure.colorbar(cells, format=FuncFormatter(lambda value, _: f"{value:,.0f}"))
    bar.outline.set_visible(False)
    bar.ax.tick_params(colors=layout.font.color, labelsize=_points(layout) - 1, length=0)
    bar.set_label(trace.colorbar.title.text, color=layout.font.color, fontsize=_points(layout))


_BY_TYPE = {"bar": _bar, "scatter": _scatter, "heatmap": _heatmap}
