"""From a key on a slider to new words and new pictures, as the page has them. Shown, not asserted.

Run alone with `MPLAN_MOVES=48`, `-s` and pytest-benchmark's `--benchmark-autosave` and
`--benchmark-compare`, it prints these figures beside those of an earlier run. They are good on an
idle machine: the kernel, the server and the page share its cores.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from statistics import median, quantiles

import pytest

MOVES = int(os.environ.get("MPLAN_MOVES", "24"))  # as many as a p95 needs
KEYS = ("ArrowRight", "ArrowLeft")  # there and back: no mission is moved to an early end
RESTS = 400  # ms without a picture, after which all of a move are drawn
# Words: the first change of the panel's lines. Pictures: the last chart drawn after them; a chart
# that is as it was is not drawn.
WATCH = """() => {
    const charts = [...document.querySelectorAll('.mplan-panel .js-plotly-plot')];
    const state = window.move = {charts: charts.length, pressed: 0};
    const now = () => performance.now() - state.pressed;
    window.addEventListener('keydown', () => Object.assign(
        state, {pressed: performance.now(), words: 0, pictures: 0, drawn: 0}), {capture: true});
    document.querySelectorAll('.mplan-panel > .widget-html').forEach(x =>
        new MutationObserver(() => { state.words ||= now(); })
            .observe(x, {subtree: true, childList: true, characterData: true}));
    charts.forEach(x => x.on('plotly_afterplot', () => {
        state.drawn += 1; state.pictures = now(); }));
}"""
DRAWN = """rests => window.move.words && window.move.drawn
    && performance.now() - window.move.pressed - window.move.pictures > rests"""


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
        "() => document.querySelectorAll('.mplan-panel .js-plotly-plot').length >= 3"
    )
    page.evaluate(WATCH)
    sliders = page.locator(".mplan-panel .noUi-handle").count()
    return [_moved(page, number // 2 % sliders, KEYS[number % 2]) for number in range(MOVES)]


def _moved(page, slider: int, key: str) -> dict[str, float]:
    panel = page.locator(".mplan-panel")
    panel.get_by_text("The climb is optimised").wait_for(timeout=60_000)
    page.wait_for_timeout(2_000)  # the pictures of that, and what is kept of them
    panel.locator(".noUi-handle").nth(slider).press(key)
    page.wait_for_function(DRAWN, arg=RESTS, timeout=60_000)
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
    """Charts that differ are drawn anew, most moves changing all of them."""
    times = [each["pictures"] for each in moves]
    print(f"\n{_told('key to the last picture', times)}, {len(times)} moves")
    _show(benchmark, times)
    assert max(each["drawn"] for each in moves) >= moves[0]["charts"] >= 3
