"""The page of two plans from disk, on a desk and on a phone, light and dark."""

from __future__ import annotations

import pytest

from mplan import report
from mplan.comparing import compare

SIZES = {"desk": (1280, 900, "light"), "phone": (390, 844, "dark")}


@pytest.fixture(scope="module")
def made(tmp_path_factory, overheight, landing_plan):
    """A landing that closes beside the same under a lower door."""
    folder = tmp_path_factory.mktemp("both") / "report"
    return report.write_comparison(compare(landing_plan, overheight), folder)


@pytest.fixture(params=SIZES)
def view(request, browser, made):
    """The page; requests and complaints are kept beside it."""
    width, height, scheme = SIZES[request.param]
    size = {"width": width, "height": height}
    context = browser.new_context(viewport=size, color_scheme=scheme)
    page = context.new_page()
    page.asked, page.complaints = [], []
    page.on("request", lambda request: page.asked.append(request.url))
    page.on("console", lambda message: page.complaints.append(message.text))
    page.on("pageerror", lambda problem: page.complaints.append(str(problem)))
    page.goto(made.as_uri())
    chart = page.locator(".chart").first
    chart.scroll_into_view_if_needed()
    chart.locator(".main-svg").first.wait_for()
    yield page
    assert [url for url in page.asked if not url.startswith(("file:", "data:", "blob:"))] == []
    assert page.complaints == []
    context.close()


def test_first_screen_tells_two_plans_apart(view, landing_plan, overheight):
    """Each verdict has its word, its sign and its text, and cautions stand beside them once."""
    verdicts = view.locator(".verdict")
    assert verdicts.count() == 2
    for box, name, plan, sign in zip(
        verdicts.all(), ("A", "B"), (landing_plan, overheight), ("✓", "✕"), strict=True
    ):
        said = box.inner_text()
        assert f"{name}: " in said
        assert plan.verdict in said
        assert sign in said
    assert view.get_by_role("complementary", name="Cautions").count() == 1


def test_nothing_is_wider_than_the_page(view):
    """Text wraps; a table or chart that is wider scrolls within its own box."""
    assert view.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0


def test_a_mark_for_each_plan_and_margin(view, landing_plan):
    """Marks of both plans are drawn, and a line for no margin."""
    marks = view.locator(".both-margins .scatterlayer .trace")
    assert marks.count() >= 4
    assert view.locator(".both-margins .points path").count() >= 2


def test_contents_lead_to_questions(view):
    """Each entry of the contents names a chapter that is there, which ends in a question mark."""
    links = view.locator("#contents a").all()
    assert len(links) == 9
    for link in links:
        assert link.inner_text().endswith("?")
        assert view.locator(link.get_attribute("href")).count() == 1
