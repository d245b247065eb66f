"""A page that needs nothing from outside: first screen, contents, chapters, files beside it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from html import escape
from importlib.resources import files
from string import Template

from nbformat import NotebookNode
from plotly.offline import get_plotlyjs

from mplan.plan import Plan
from mplan.programme import Calendar
from mplan.report import chapters, first_screen, programme_questions, programme_screen, questions
from mplan.report.beside import PageLink
from mplan.report.cells import Numbers, failure
from mplan.report.chapters import Chapter
from mplan.show import notebook, programme
from mplan.show.drawn import dark, scripts


def page(
    plan: Plan,
    books: Mapping[str, NotebookNode],
    failures: Sequence[str] = (),
    links: Sequence[PageLink] = (),
    *,
    what_if: str = "",
    studies: bool = False,
) -> str:
    """Return the page of a mission: its first screen, `what_if`, and workbooks as chapters.

    What failed is listed on top, and shown where it stands; `links` lead to what lies beside it.
    """
    numbers = Numbers()
    opening = f"{first_screen.of(plan, numbers)}\n<!-- what-if -->{what_if}"
    asked = chapters.of(books, questions.QUESTIONS, plan, numbers, studies=studies)
    every = [*asked, _origin(notebook.made_from(plan).html)]
    title = plan.scenario.mission.name
    return document(title, "mission plan", opening, every, failures, links)


def programme_page(
    calendar: Calendar,
    books: Mapping[str, NotebookNode],
    failures: Sequence[str] = (),
    links: Sequence[PageLink] = (),
) -> str:
    """Return the page of a programme, made as that of a mission."""
    numbers = Numbers()
    opening = programme_screen.of(calendar, numbers)
    asked = chapters.of(books, programme_questions.QUESTIONS, calendar, numbers)
    every = [*asked, _origin(programme.made_from(calendar).html)]
    title = calendar.programme.name
    return document(title, "programme of missions", opening, every, failures, links)


def document(
    title: str,
    kind: str,
    opening: str,
    parts: Sequence[Chapter],
    failures: Sequence[str] = (),
    links: Sequence[PageLink] = (),
) -> str:
    """Return a page from its first screen and its chapters; `opening` is HTML, the rest is text."""
    template = Template(_kept("page.html"))
    return template.substitute(
        title=escape(title),
        kind=escape(kind),
        opening=opening,
        failures="".join(map(failure, failures)),
        contents="".join(_entries(parts)),
        body="\n".join(part.html for part in parts),
        links="".join(f"<li>{link.html}</li>" for link in links),
        style=_style(),
        script=_script(),
        plotly=get_plotlyjs(),
    )


def _origin(made_from: str) -> Chapter:
    """Return the last chapter: what made the numbers, so that they can be made again."""
    body = f'<div class="wide">{made_from}</div>'
    return Chapter("origin", "What were these numbers made with?", "", body)


def _entries(parts: Sequence[Chapter]) -> Iterator[str]:
    for part in parts:
        yield f'<li><a href="#{part.name}">{escape(part.question)}</a></li>'


def _kept(name: str) -> str:
    return files("mplan.report").joinpath(name).read_text("utf-8")


def _style() -> str:
    """Return the page's style: pictures are dark where the system or the reader wants it so."""
    system, chosen = ':root:not([data-theme="light"])', ':root[data-theme="dark"]'
    follows = f"@media (prefers-color-scheme: dark) {{ {dark.css(system)} }}"
    pictures = f"@media screen {{ {dark.css(chosen)} {follows} }}"
    return f"{_kept('style.css')}\n{scripts.style()}\n{pictures}"


def _script() -> str:
    return f"{scripts.picture()}\n{_kept('page.js')}"
