"""The report's page opened from disk: nothing is asked of the network, everything is drawn."""

from __future__ import annotations

import pytest

import mplan
from mplan import report


@pytest.fixture(scope="module")
def view(browser, tmp_path_factory, overheight):
    """The page of a mission that does not close; requests and complaints are kept beside it."""
    made = report.make(overheight.scenario, tmp_path_factory.mktemp("seen") / "report")
    page = browser.new_page(viewport={"width": 1400, "height": 1000})
    page.asked, page.complaints = [], []
    page.on("request", lambda request: page.asked.append(request.url))
    page.on("console", lambda message: page.complaints.append(message.text))
    page.on("pageerror", lambda problem: page.complaints.append(str(problem)))
    page.goto(made.page.as_uri())
    page.wait_for_selector(".chart .main-svg")
    yield page
    page.close()


def test_asks_nothing_of_the_network(view):
    assert [url for url in view.asked if not url.startswith(("file:", "data:", "blob:"))] == []
    assert view.complaints == []


def test_every_chart_is_drawn(view, overheight):
    """Each chart has its marks: a bar for each burn, a row for each turning point, two arcs."""
    assert view.locator(".chart .cartesianlayer .subplot").count() >= 3
    bars = view.locator("#chart-1 .barlayer .trace").first.locator(".point")
    assert bars.count() == len(overheight.burns)
    assert view.locator("#chart-2 .textpoint").count() > len(overheight.burns)
    assert view.locator("#chart-3 .js-line").count() >= 4


def test_no_words_are_cut_off(view):
    """All words of the charts lie within their pictures."""
    outside = """() => [...document.querySelectorAll('.chart')].flatMap(chart => {
        const edge = chart.getBoundingClientRect();
        return [...chart.querySelectorAll('text')].filter(text => {
            const box = text.getBoundingClientRect();
            return box.width && (box.left < edge.left - 1 || box.right > edge.right + 1);
        }).map(text => text.textContent);
    })"""
    assert view.evaluate(outside) == []


@pytest.mark.parametrize("chart", [f"#chart-{i}" for i in range(1, 12)])
def test_no_words_overlap(view, chart):
    """No two of the words that stand beside bars, rungs and marks lie over each other."""
    assert view.locator(chart).count() == 1
    overlapping = """chart => {
        const boxes = [...document.querySelectorAll(chart + ' .textpoint text')]
            .map(text => [text.textContent, text.getBoundingClientRect()]);
        return boxes.flatMap(([one, a], i) => boxes.slice(i + 1).filter(([_, b]) =>
            a.left < b.right - 1 && b.left < a.right - 1 &&
            a.top < b.bottom - 2 && b.top < a.bottom - 2).map(([two]) => one + ' / ' + two));
    }"""
    assert view.evaluate(overlapping, chart) == []


def test_code_is_folded_away(view):
    assert view.locator("details.code").count() == 12  # a chapter that code is behind: all but one
    assert view.locator("details[open]").count() == 0


def test_verdict_and_remedies_can_be_read(view, overheight):
    assert isinstance(overheight, mplan.Plan)
    text = view.locator("body").inner_text()
    assert overheight.verdict in text
    remedies = [x for finding in overheight.findings for x in finding.remedies]
    assert remedies
    assert [x.change for x in remedies if f"flown: {x.change}" not in text] == []


def test_narrow_page_does_not_slide_sideways(view):
    """On a narrow screen wide tables scroll by themselves, and the page stays put."""
    view.set_viewport_size({"width": 420, "height": 800})
    view.wait_for_timeout(300)
    wide = view.evaluate("document.documentElement.scrollWidth")
    view.set_viewport_size({"width": 1400, "height": 1000})
    assert wide <= 421


def test_paper_has_still_pictures(view):
    """Printed, each chart is its still twin."""
    view.emulate_media(media="print")
    shown = view.locator(".still:visible").count()
    live = view.locator(".chart:visible").count()
    view.emulate_media(media="screen")
    assert (shown, live) == (view.locator(".chart").count(), 0)
    assert shown > 3
