"""Remedies tell how far they are, and can be stopped; what was flown until then is told."""

from __future__ import annotations

from dataclasses import replace

import pytest

import mplan
from mplan.checks.remedies import for_findings
from tests.conftest import MISSIONS


@pytest.fixture(scope="module")
def tall():
    """A stack too tall for its door, flown without remedies."""
    return mplan.fly(mplan.load(MISSIONS / "overheight.toml"))


def test_stopped_before_anything_is_flown(tall):
    """No change is told, and why not; the findings stay as they were found."""
    told = []
    found = for_findings(
        tall.flight, tall.findings, done=lambda *step: told.append(step), stopped=lambda: True
    )
    assert told == []
    assert found[0].remedies == ()
    assert found[0].unsolved == "not all worked out: stopped"
    assert [replace(x, unsolved="") for x in found] == list(tall.findings)


def test_stopped_after_the_first_finding(tall):
    """Progress counts flights of at most so many; what is found so far comes after each finding."""
    told, states = [], []
    found = for_findings(
        tall.flight,
        tall.findings[:1],
        done=lambda *step: told.append(step),
        so_far=lambda state: states.append(state()),
        stopped=lambda: bool(told),
    )
    (first,) = found
    assert told[-1][0] >= 1
    assert told[-1][1] == 50
    assert len(states) == 1
    assert "stopped" in first.unsolved or any(x.closes for x in first.remedies)
    assert all(x.lift_off < 0.0 for x in first.remedies), "shorter is lighter"
