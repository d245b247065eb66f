"""What of a mission's findings stops it: by itself, or because the scenario has it so."""

from __future__ import annotations

import ast
import inspect
from pathlib import Path
from typing import get_args

import pytest

import mplan
from mplan import checks
from mplan.checks.finding import as_set
from mplan.scenario.severity import SEVERITIES, CheckName
from mplan.scenario.wording import plain
from mplan.studies.odds import outcome
from tests.conftest import MISSIONS

STOPS = SEVERITIES[0]


def texts(module) -> set[str]:
    """Return every text in the sources of a check, its room's among them."""
    file = Path(inspect.getfile(module))
    files = file.parent.glob("*.py") if file.name == "__init__.py" else (file,)
    trees = [ast.parse(each.read_text(encoding="utf-8")) for each in files]
    found = (x for tree in trees for x in ast.walk(tree) if isinstance(x, ast.Constant))
    return {x.value for x in found if isinstance(x.value, str)}


@pytest.mark.parametrize("check", outcome.ADVICE, ids=lambda x: x.__name__)
def test_advice_never_stops_a_flight_by_itself(check):
    """No severity of its source does, and it goes by the names it is listed with."""
    said = texts(check)
    assert STOPS not in said
    assert said & set(get_args(CheckName)) >= set(outcome.ADVICE[check])
    assert check in (*checks.FLOWN, *checks.HOME)


@pytest.mark.parametrize(
    ("severity", "stopped"),
    [({}, False), ({"contact": STOPS}, True), ({"contact": {"landing": STOPS}}, True)],
)
def test_every_stop_is_told(severity, stopped):
    """A landing that Earth does not see is one where the scenario has it so, and told as others."""
    far_side = mplan.load(MISSIONS / "far_side_landing.toml").change("severity", severity)
    flight = mplan.fly(far_side).flight
    asked = (x for x in (*checks.FLOWN, *checks.HOME) if x not in outcome.AS_IN_PLAN)
    found = [as_set(y, flight.scenario) for x in asked for y in x.findings(flight)]
    stops = {f"{x.check}, {plain(x.event)}" for x in found if x.severity == STOPS}
    assert ("contact, landing" in stops) == stopped
    assert set(outcome._stops(flight)) == stops
