"""What a panel's cell keeps: words and pictures as they stood when the sliders last rested."""

from __future__ import annotations

import asyncio
import time

import pytest

from mplan.show import mission
from mplan.show.panels import stand_in

PAYLOAD = "mission.payload_down"
LONG = 60.0  # s


class Output:
    """Stands in for the outputs of a cell: what was shown, and what was written over it."""

    def __init__(self):
        self.shown, self.written = [], []

    def display(self, thing, *, raw=False, display_id=False):
        self.shown.append(thing)
        return self if display_id else None

    def update(self, thing):
        self.written.append(thing.html)


@pytest.fixture
def output(monkeypatch):
    cell = Output()
    monkeypatch.setattr(stand_in, "display", cell.display)
    monkeypatch.setattr(stand_in, "RESTED", 0.05)
    return cell


@pytest.fixture(scope="module")
def panel(reference_landing):
    return mission.panel(reference_landing)


async def written(output) -> None:
    until = time.monotonic() + LONG
    while not output.written and time.monotonic() < until:
        await asyncio.sleep(0.02)


def test_what_the_sliders_rested_at_is_kept(panel, output, monkeypatch):
    """Of two moves the last one: its value, its verdict, and a still picture for each chart."""
    monkeypatch.setattr(stand_in, "attended", lambda: True)

    async def turn() -> None:
        panel._ipython_display_()
        for payload in (400.0, 410.0):
            panel.controls[PAYLOAD].slider.value = payload
        await written(output)

    asyncio.run(turn())
    live, empty = output.shown
    assert "application/vnd.jupyter.widget-view+json" in live
    assert "text/html" not in live, "a page without widgets shows what stands in, once"
    assert empty.html.endswith('<div class="mplan-stand-in"></div>')
    kept = output.written[-1]
    assert "<td>410 kg</td>" in kept
    assert panel.verdict.value in kept
    assert kept.count("data:image/png;base64,") == len(panel.charts)


def test_with_nobody_at_the_page_pictures_are_shown_once(panel, output):
    """The sliders' values alone: the pictures stand in cells of their own."""
    panel._ipython_display_()
    [still] = output.shown
    assert "Run this cell in JupyterLab to move the sliders." in still.html
    assert "<img" not in still.html


def test_a_move_meanwhile_leaves_older_pictures(output, monkeypatch):
    """What is drawn when the next move comes is not kept."""
    keeping = stand_in.Keeping(lambda: ["words"], output)
    drawn = stand_in._html

    def slow(part):
        keeping._turn += 1
        return drawn(part)

    monkeypatch.setattr(stand_in, "_html", slow)
    keeping._write(keeping._turn, ["before", "after"])
    assert output.written == []
