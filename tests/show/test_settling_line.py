"""The line of a brief and the table on what settling and boiling off take."""

from __future__ import annotations

import pytest

from mplan.show import gist, tables


def test_it_tells_what_all_starts_took_and_what_was_gone_at_the_injection(any_plan):
    """The numbers of the records, in every profile."""
    said = next(line for line in gist.lines(any_plan) if line.startswith("settling"))
    spent = sum(burn.settling.propellant for burn in any_plan.burns if burn.settling)
    leaving = next(burn for burn in any_plan.burns if burn.leg == "translunar injection")
    words = said.replace(",", "").split()
    assert float(words[1]) == pytest.approx(spent, abs=0.5)
    assert float(words[4]) == pytest.approx(leaving.boiled / 1e3, abs=0.005)
    assert said.endswith("t before the injection")


def test_the_table_has_a_row_for_each_settled_start(landing_plan):
    """In flight order, with units in its headers; what needs no settling is not there."""
    table = tables.settling(landing_plan)
    assert list(table["burn"])[:2] == ["second-stage climb", "parking-orbit insertion"]
    assert "lunar ascent" not in set(table["burn"])
    injection = table[table["burn"] == "translunar injection"].iloc[0]
    assert injection["settled by"] == "transfer stage"
    assert injection["push [g0]"] == pytest.approx(6.3e-4, abs=1e-5)
    assert injection["for [s]"] == pytest.approx(57.0, abs=1.0)
