"""How long a report takes to make, and to print. Shown, not asserted."""

from __future__ import annotations

import os
from pathlib import Path

from mplan import report
from mplan.report import pdf

DEMO = Path(__file__).parents[1] / "missions" / "reference_landing.toml"


def test_a_report(benchmark, tmp_path):
    """Page, executed workbooks, sliders, tables and data; bytes and work of all processes told."""
    before = sum(os.times()[:4])
    made = benchmark.pedantic(report.make, (DEMO, tmp_path / "report"), rounds=1)
    size, work = made.page.stat().st_size / 1e6, sum(os.times()[:4]) - before
    print(f"\n{size:.1f} MB of page; {work:.0f} s of work by all processes")
    assert made.failures == ()


def test_a_pdf(benchmark, tmp_path):
    """The page printed by the browser that is installed."""
    made = report.make(DEMO, tmp_path / "report", flights=0)
    benchmark.pedantic(pdf.write, (made.page, tmp_path / "report.pdf"), rounds=1)
    assert (tmp_path / "report.pdf").stat().st_size > 100_000
