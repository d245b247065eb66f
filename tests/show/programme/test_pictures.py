"""Pictures of a programme: rows, the critical path told without colour, windows, money."""

from __future__ import annotations

from itertools import pairwise

import pytest

from mplan.show import programme


def bars(picture):
    """Every bar of a picture as row, begin, length and hatch."""
    return [
        (row, base, size, shape)
        for trace in picture.data
        if trace.type == "bar"
        for row, base, size, shape in zip(
            trace.y, trace.base, trace.x, trace.marker.pattern.shape, strict=True
        )
    ]


def words(picture):
    return {
        y
        for trace in picture.data
        if trace.type == "scatter" and trace.mode == "text"
        for y in trace.y
    }


def test_missions_show_all_work(small):
    """A bar a task of a flight; team off duty stands with the resources."""
    picture = programme.missions(small)
    shown = [x for x in small.tasks if x.kind != "recovery"]
    assert len(bars(picture)) == len(shown)
    assert sum(bool(x[3]) for x in bars(picture)) == sum(x.critical for x in shown)
    assert words(picture) == {x[0] for x in bars(picture) if x[3]}, "a word in each such row"


def test_windows_are_bands(small, busy):
    """Each window adds a band to its mission's row, under the bars."""
    more = bars(programme.missions(busy))[: len(busy.windows)]
    assert len(bars(programme.missions(busy))) == len(bars(programme.missions(small))) + 2
    assert {x[0] for x in more} == {"First trial: pad and flight"}
    drawn = programme.missions(busy).data[0].marker.line
    assert drawn.color[0] != drawn.color[1], "the one taken stands out"
    assert drawn.width == 2, "in sight however many years there are"
    assert all(x[2] > 0.0 for x in more), "one that opens and closes on a day fills it"


def test_nobody_is_drawn_twice_in_a_row(small):
    """Bars of one pad, crew or team do not overlap, as none is booked twice."""
    found = bars(programme.resources(small))
    for row in {x[0] for x in found}:
        spans = sorted((base, base + size) for its, base, size, _ in found if its == row)
        assert all(a[1] <= b[0] + 1e-3 for a, b in pairwise(spans)), row


def test_money_adds_up(small):
    """The bars of all years are the 132 M that stages and development cost; over is said."""
    picture = programme.spending(small)
    total = sum(sum(x.x) for x in picture.data if x.type == "bar")
    assert total == pytest.approx(132.0, abs=0.2)  # each part to 0.1 M
    assert "over budget" in "".join(picture.data[-1].text)


@pytest.mark.parametrize("draw", [programme.missions, programme.resources, programme.spending])
def test_stills(draw, busy):
    """Each picture has a still on light and dark pages."""
    for theme in ("light", "dark"):
        assert draw(busy, theme=theme).png().startswith(b"\x89PNG")
