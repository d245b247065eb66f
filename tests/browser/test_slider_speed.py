"""From a key on a slider to new words and new pictures, as the page has them. Shown, not asserted.

Run alone with `MPLAN_MOVES=12`, `-s` and pytest-benchmark's `--benchmark-autosave` and
`--benchmark-compare`, it prints these figures beside those of an earlier run. They are good on an
idle machine: the kernel, the server and the page share its cores.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from statistics import median, quantiles

import pytest

MOVES = int(os.environ.get("MPLAN_MOVES", "6"))
ONE = 6  # moves of one slider, before the next: not as far as where the mission ends early
# Words: a change of the panel's first lines. Pictures: the last chart drawn after them.
WATCH = """() => {
    const words = [...document.querySelectorAll('.widget-html-content')]
        .find(x => x.querySelector('[role=status]')).closest('.widget-html');
    const charts = [...document.querySelectorAll('.widget-hbox .js-plotly-plot')];
    const state = window.move = {charts: charts.length, pressed: 0};
    window.addEventListener('keydown', () => Object.assign(
        state, {pressed: performance.now(), words: 0, pictures: 0, drawn: 0}), {capture: true});
    new MutationObserver(() => { state.words ||= performance.now() - state.pressed; })
        .observe(words, {subtree: true, childList: true, characterData: true});
    charts.forEach(x => x.on('plotly_afterplot', () => {
        state.drawn += 1; state.pictures = performance.now() - state.pressed; }));
}"""
DRAWN = "() => window.move.words && window.move.drawn >= window.move.charts"


class Watch:
    """A clock that shows what the page measured, one round after the other [s]."""

    now = 0.0

    def __call__(self) -> float:
        """Return the time."""
        return self.now


watch = Watch()


@pytest.fixture(scope="module")
def moves(run_workbook) -> list[dict[str, float]]:
    """What the page measured at each move [ms], the climb having been optimised before it."""
    page = run_workbook("01_whole_mission.ipynb")
    page.set_viewport_size({"width": 1400, "height": 2200})
    page.wait_for_function(
        "() => document.querySelectorAll('.widget-hbox .js-plotly-plot').length >= 3"
    )
    page.evaluate(WATCH)
    return [_moved(page, number // ONE) for number in range(MOVES)]


def _moved(page, slider: int) -> dict[str, float]:
    page.get_by_text("The climb is optimised").first.wait_for(timeout=30_000)
    page.wait_for_timeout(300)  # the pictures of that
    page.locator(".noUi-handle").nth(slider).press("ArrowRight")
    page.wait_for_function(DRAWN, timeout=30_000)
    return page.evaluate("() => ({...window.move})")


def _told(what: str, times: list[float]) -> str:
    return f"{what} {median(times):.0f} ms median, {quantiles(times, n=20)[-1]:.0f} ms p95"


def _show(benchmark, times: list[float]) -> None:
    rounds: Iterator[float] = iter(times)

    def one() -> None:
        watch.now += next(rounds) / 1e3

    benchmark.pedantic(one, rounds=len(times))


@pytest.mark.benchmark(group="a key on a slider in the page", timer=watch)
def test_to_words(benchmark, moves):
    """The words are there before the pictures."""
    times = [each["words"] for each in moves]
    print(f"\n{_told('key to new words', times)}, {len(times)} moves")
    _show(benchmark, times)
    assert all(0.0 < each["words"] < each["pictures"] for each in moves)


@pytest.mark.benchmark(group="a key on a slider in the page", timer=watch)
def test_to_pictures(benchmark, moves):
    """Every chart is drawn anew."""
    times = [each["pictures"] for each in moves]
    print(f"\n{_told('key to the last picture', times)}, {len(times)} moves")
    _show(benchmark, times)
    assert all(each["drawn"] >= each["charts"] >= 3 for each in moves)
