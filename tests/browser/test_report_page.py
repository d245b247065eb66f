"""The report's page opened from disk: nothing is asked of the network, everything is drawn."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest

import mplan
from mplan import report
from mplan.report import pdf


@pytest.fixture(scope="module")
def made(tmp_path_factory, overheight):
    """The report of a mission that does not close."""
    return report.make(overheight.scenario, tmp_path_factory.mktemp("seen") / "report")


@pytest.fixture(scope="module")
def view(browser, made):
    """Its page, every chart of it drawn; requests and complaints are kept beside it."""
    page = browser.new_page(viewport={"width": 1400, "height": 1000})
    page.asked, page.complaints = [], []
    page.on("request", lambda request: page.asked.append(request.url))
    page.on("console", lambda message: page.complaints.append(message.text))
    page.on("pageerror", lambda problem: page.complaints.append(str(problem)))
    page.goto(made.page.as_uri())
    for chart in page.locator(".chart").all():  # each is drawn when it comes into sight
        chart.scroll_into_view_if_needed()
        chart.locator(".main-svg").first.wait_for()
    yield page
    page.close()


@pytest.fixture
def phone(browser, made):
    """The page on a phone."""
    page = browser.new_page(viewport={"width": 390, "height": 844})
    page.goto(made.page.as_uri())
    page.locator("#chart-1 .main-svg").first.wait_for()
    yield page
    page.close()


def test_asks_nothing_of_the_network(view):
    assert [url for url in view.asked if not url.startswith(("file:", "data:", "blob:"))] == []
    assert view.complaints == []


def test_every_chart_is_drawn(view, overheight):
    """Each chart has its marks: a bar for each burn, a row for each turning point, two arcs."""
    assert view.locator(".chart .cartesianlayer .subplot").count() >= 3
    bars = view.locator("#burns .barlayer .trace").first.locator(".point")
    assert bars.count() == len(overheight.burns)
    ladder, path = view.locator("#events .chart").all()
    assert ladder.locator(".textpoint").count() > len(overheight.burns)
    assert path.locator(".js-line").count() >= 4


def test_first_screen_tells_what_decides(browser, made, overheight):
    """On a laptop's screen, before any scrolling: verdict, cautions, path, dates, budget, stops."""
    page = browser.new_page(viewport={"width": 1280, "height": 800})
    page.goto(made.page.as_uri())
    ends = {}
    for name in (".said .verdict", ".cautions", ".picture .chart", ".dates", ".burns-at-a-glance"):
        box = page.locator(name).bounding_box()
        ends[name] = box["y"] + box["height"]
    ends[".decisions"] = page.locator(".decisions li").first.bounding_box()["y"]
    said = page.locator(".decisions").inner_text()
    page.close()
    assert {name: end for name, end in ends.items() if end > 800} == {}
    assert next(x.text for x in overheight.findings if x.rank == 0) in said


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


@pytest.mark.parametrize("chart", [f"#chart-{i}" for i in range(1, 13)])
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
    chapters = view.locator("section.chapter").count()
    assert chapters == 17
    assert view.locator("details.code").count() == chapters - 1  # one has no code behind it
    assert view.locator("details[open]").count() == 0


def test_verdict_and_remedies_can_be_read(view, overheight):
    assert isinstance(overheight, mplan.Plan)
    text = view.locator("body").inner_text()
    assert overheight.verdict in text
    remedies = [x for finding in overheight.findings for x in finding.remedies]
    assert remedies
    assert [x.change for x in remedies if f"flown: {x.change}" not in text] == []


def test_a_phone_reads_it_without_sliding_sideways(phone):
    """Wide tables and charts scroll by themselves, the page stays put, text is not small."""
    assert phone.evaluate("document.documentElement.scrollWidth") == 390
    box = phone.locator("#chart-1").bounding_box()
    assert box["x"] >= 0
    assert box["x"] + box["width"] <= 390
    size = "parseFloat(getComputedStyle(document.querySelector('.answer')).fontSize)"
    assert phone.evaluate(size) >= 16


def colours(page):
    """Return the page's background and that of its first chart, as brightness from 0 to 255."""
    return page.evaluate(
        """() => [document.body, document.querySelector('#chart-1 .main-svg')].map(each => {
            const all = getComputedStyle(each).backgroundColor.match(/[0-9.]+/g).map(Number);
            return (all[0] + all[1] + all[2]) / 3;
        })"""
    )


def test_dark_page(phone):
    """It follows the reader's system, pictures too, and a button turns it, also by the keyboard."""
    assert min(colours(phone)) > 200
    phone.emulate_media(color_scheme="dark")
    phone.wait_for_timeout(300)
    assert max(colours(phone)) < 60
    button = phone.get_by_role("button", name="Light page")
    button.focus()
    phone.keyboard.press("Enter")
    phone.wait_for_timeout(300)
    assert min(colours(phone)) > 200
    assert phone.get_by_role("button", name="Dark page").count() == 1


def test_landmarks_and_headings(view):
    """One header, main part and footer, navigation with names; no level of headings is left out."""
    for role in ("banner", "main", "contentinfo"):
        assert view.get_by_role(role).count() == 1, role
    assert view.get_by_role("navigation", name="Contents").count() == 1
    levels = view.evaluate(
        "[...document.querySelectorAll('h1,h2,h3,h4,h5,h6')].map(x => Number(x.tagName[1]))"
    )
    assert levels.count(1) == 1
    assert levels[0] == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))


def test_tables_are_told_by_what_they_are(view):
    """Each in a chapter has a caption and says which way its headings go."""
    lacking = """() => [...document.querySelectorAll('.chapter .wide[role=region] table')].filter(
        each => !each.caption || each.querySelector('th:not([scope])')).map(x => x.outerHTML)"""
    assert view.evaluate(lacking) == []
    assert view.locator(".chapter .wide table caption").count() > 20


def test_keys_alone(phone):
    """The first Tab skips to the content; what is wider than its box takes the keys that scroll."""
    phone.keyboard.press("Tab")
    assert phone.evaluate("document.activeElement.className") == "skip"
    phone.keyboard.press("Enter")
    assert phone.evaluate("document.activeElement.id") == "main"
    wide = phone.locator("#burns .wide").first
    wide.focus()
    phone.keyboard.press("ArrowRight")
    phone.wait_for_timeout(400)
    assert wide.evaluate("each => each.scrollLeft") > 0


def test_a_table_that_goes_on_beside_the_page_says_so(phone):
    """And no other one does."""
    found = phone.evaluate("""() => [...document.querySelectorAll('.wide:has(> table)')].map(x => [
        x.scrollWidth > x.clientWidth + 1,
        getComputedStyle(x, '::before').content.includes('more columns')])""")
    assert {told for _, told in found} == {True, False}
    assert [x for x in found if x[0] != x[1]] == []


def test_paper_has_still_pictures(view):
    """Printed, each chart is its still twin."""
    view.emulate_media(media="print")
    shown = view.locator(".still:visible").count()
    live = view.locator(".chart:visible").count()
    view.emulate_media(media="screen")
    assert (shown, live) == (view.locator(".chart").count(), 0)
    assert shown > 3


SIZES = {"A4": (595, 842), "letter": (612, 792)}  # points


@pytest.mark.parametrize("paper", SIZES)
def test_pdf(made, paper, tmp_path):
    """Every sheet has the paper's size; what is broad lies sideways."""
    pdf.write(made.page, tmp_path / "report.pdf", paper)
    told = re.findall(
        rb"/MediaBox ?\[0 0 ([0-9.]+) ([0-9.]+)\]", (tmp_path / "report.pdf").read_bytes()
    )
    sheets = {(round(float(wide)), round(float(high))) for wide, high in told}
    assert SIZES[paper] in sheets
    assert sheets <= {SIZES[paper], SIZES[paper][::-1]}
    assert 20 < len(told) < 100
