"""Still pictures: nothing is cut off at their edges."""

from __future__ import annotations

import io

import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from PIL import Image

from mplan.show import climb
from mplan.show.drawn import palette, rows, still
from mplan.show.drawn.figure import Drawing, Picture

CELL = 848  # px: a cell of JupyterLab beside its file list, in a window of 1280 px


def test_a_long_legend_breaks_into_rows(landing_plan):
    """Names that do not fit side by side stand below one another, all of them."""
    page = Figure((still.WIDTH / still.DPI, 4.0), still.DPI, layout="constrained")
    FigureCanvasAgg(page)
    axes = page.add_subplot()
    for i in range(6):
        axes.plot([0.0, 1.0], label=f"a rather long name of a line, number {i}")
    still._legend(page, climb.escapes(landing_plan).layout)
    (legend,) = page.legends
    assert len(legend.get_texts()) == 6
    assert legend.get_window_extent().width <= still.WIDTH


def test_a_still_fits_a_cell(landing_plan):
    """JupyterLab shows it unscaled, and cuts off what is wider than the cell."""
    assert Image.open(io.BytesIO(climb.escapes(landing_plan).png())).width <= CELL


def test_grouped_bars_share_the_height_of_their_row():
    """Two bars of one row lie beside one another, neither over the other."""
    look = palette.look()
    names = ["load", "length"]
    bars = [
        rows.part(name, [100.0, 50.0], names, colour, "", look, "%{x} %")
        for name, colour in (("before", look.second), ("after", look.main))
    ]
    axes = rows.axes(look, names, "per cent", 0.0, 120.0)
    drawn = Picture(
        Drawing(bars, **axes, height=200, summary="", look=look, more=rows.more("group"))
    )
    (first, low), (second, high) = still._beside(drawn)
    assert first.width == second.width == still.BAR / 2.0
    assert high - low == pytest.approx(first.width)
    assert Image.open(io.BytesIO(drawn.png())).height == 200


def test_intervals_at_the_ends_of_bars_are_drawn():
    """A bar with an interval has other pixels than one without; a bar needs no base."""
    look = palette.look()
    bar = rows.part("holds", [60.0], ["plan"], look.main, "", look, "%{x} %")
    apart = {"type": "data", "symmetric": False, "array": [30.0], "arrayminus": [10.0]}
    error = {**apart, "color": look.ink, "thickness": 1.5, "width": 4}
    axes = rows.axes(look, ["plan"], "per cent", 0.0, 120.0)
    how = {"height": 160, "summary": "", "look": look, "more": rows.more("overlay")}
    plain, told = (Picture(Drawing([x], **axes, **how)) for x in (bar, {**bar, "error_x": error}))
    assert plain.png() != told.png()
