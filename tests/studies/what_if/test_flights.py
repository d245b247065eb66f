"""Changes of a plan's scenario, each flown as `mplan.fly` flies it."""

from __future__ import annotations

import pytest

import mplan
from mplan.studies.what_if import fly_changes
from tests.conftest import MISSIONS

STAY, REFUSED = {"mission.lunar_orbit_stay": "30 h"}, {"dates.translunar_time": "1 h"}


@pytest.fixture(scope="module")
def plan():
    return mplan.fly(mplan.load(MISSIONS / "orbit_and_return.toml"))


@pytest.fixture(scope="module")
def flown(plan):
    return dict(fly_changes(plan, [STAY, REFUSED]))


def test_a_change_is_flown_as_fly_does(plan, flown):
    """Every margin, the findings and the splash are those of `fly` with the plan's steering."""
    wanted = mplan.fly(plan.scenario.change(STAY), like=plan)
    found = flown[0].plan
    assert [x.margin for x in found.every_burn] == [x.margin for x in wanted.every_burn]
    assert found.findings == wanted.findings
    assert found.flight.splash.t == wanted.flight.splash.t
    assert found.flight.splash.t != plan.flight.splash.t


def test_a_change_that_cannot_be_flown_tells_why(flown):
    assert flown[1].plan is None
    assert flown[1].refused.startswith("dates.translunar_time: ")


def test_processes_give_the_same(plan, flown):
    """A plan that a worker process flew has the numbers of one flown here."""
    ((_, there),) = fly_changes(plan, [STAY], workers=2)
    assert there.plan.verdict == flown[0].plan.verdict
    assert [x.margin for x in there.plan.burns] == [x.margin for x in flown[0].plan.burns]


def test_stops_when_asked(plan):
    told = list(fly_changes(plan, [STAY, STAY, STAY], stopped=lambda: True))
    assert len(told) == 1
