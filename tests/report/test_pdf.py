"""The page as a PDF: who prints it, and what is said where nobody does."""

from __future__ import annotations

import sys

import pytest

from mplan import cli
from mplan.report import pdf
from tests.conftest import MISSIONS


@pytest.fixture
def page(tmp_path):
    file = tmp_path / "report.html"
    file.write_text("<html><head></head><body>Page</body></html>", encoding="utf-8")
    return file


def printer(tmp_path, code):
    """Return the path of a program that stands in for a browser."""
    file = tmp_path / "printer"
    file.write_text(f"#!{sys.executable}\nimport sys, pathlib\n{code}\n", encoding="utf-8")
    file.chmod(0o755)
    return str(file)


def test_without_a_browser_it_says_what_to_do(page, tmp_path, monkeypatch):
    """The message names what is accepted, and no file is left."""
    monkeypatch.setattr(pdf.shutil, "which", lambda name: None)
    monkeypatch.delenv(pdf.BROWSER, raising=False)
    with pytest.raises(pdf.NoPdf, match=r"no Chromium.* was found; accepted: .*MPLAN_BROWSER"):
        pdf.write(page, tmp_path / "report.pdf")
    assert not (tmp_path / "report.pdf").exists()


def test_a_browser_that_is_named_and_not_there(page, tmp_path, monkeypatch):
    """It is not another one's turn: the name is told."""
    monkeypatch.setenv(pdf.BROWSER, "no-such-browser")
    with pytest.raises(pdf.NoPdf, match="no-such-browser is not there"):
        pdf.write(page, tmp_path / "report.pdf")


def test_a_browser_that_fails_is_quoted(page, tmp_path, monkeypatch):
    """Its last words are in the message."""
    code = "print('first\\nout of paper', file=sys.stderr)\nsys.exit(3)"
    monkeypatch.setenv(pdf.BROWSER, printer(tmp_path, code))
    with pytest.raises(pdf.NoPdf, match=r"did not print: out of paper"):
        pdf.write(page, tmp_path / "report.pdf")


@pytest.mark.parametrize("paper", pdf.PAPERS)
def test_the_paper_is_part_of_the_page(page, tmp_path, monkeypatch, paper):
    """The browser is given a copy that asks for the paper; the page itself stays as it is."""
    code = (
        "to = next(x for x in sys.argv if x.startswith('--print-to-pdf=')).partition('=')[2]\n"
        "pathlib.Path(to).write_text(pathlib.Path(sys.argv[-1].removeprefix('file://')).read_text())"
    )
    monkeypatch.setenv(pdf.BROWSER, printer(tmp_path, code))
    before = page.read_text("utf-8")
    pdf.write(page, tmp_path / "report.pdf", paper)
    printed = (tmp_path / "report.pdf").read_text("utf-8")
    assert f"@page {{ size: {paper}; }}" in printed
    assert page.read_text("utf-8") == before


def test_the_command_says_so_before_anything_is_flown(tmp_path, monkeypatch, capsys):
    """One line, the code of bad input, and nothing is written."""
    monkeypatch.setenv(pdf.BROWSER, "no-such-browser")
    asked = ["report", str(MISSIONS / "single_flyby.toml"), "--to", str(tmp_path / "out"), "--pdf"]
    assert cli.main(asked) == 2
    said = capsys.readouterr().err
    assert said.startswith("PDF: no-such-browser is not there; accepted: ")
    assert not (tmp_path / "out").exists()


def test_a_report_has_its_pdf_beside_it(page, tmp_path, monkeypatch):
    """What does not print is told, and the other pages are printed all the same."""
    code = (
        "to = next(x for x in sys.argv if x.startswith('--print-to-pdf=')).partition('=')[2]\n"
        "'bad' in to and sys.exit('jam')\n"
        "pathlib.Path(to).write_text('printed')"
    )
    monkeypatch.setenv(pdf.BROWSER, printer(tmp_path, code))
    bad = page.with_name("bad.html")
    bad.write_text(page.read_text("utf-8"), encoding="utf-8")
    (failed,) = pdf.beside([bad, page], "A4")
    assert failed.endswith("did not print: jam")
    assert page.with_suffix(".pdf").read_text("utf-8") == "printed"
