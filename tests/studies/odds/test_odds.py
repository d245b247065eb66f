"""Missions that are drawn and flown: kept once each, alike for any workers, gone on with."""

from __future__ import annotations

import os
import signal
import sqlite3
import subprocess
import sys
import time
from contextlib import closing
from dataclasses import replace
from math import log
from pathlib import Path

import numpy as np
import pyarrow.parquet as pq
import pytest

import mplan
from mplan.physics.constants import G0
from mplan.physics.rocket import propellant
from mplan.scenario import ScenarioError
from mplan.scenario.dispersions.spread import CUT, Spread
from mplan.studies import odds
from mplan.studies.odds import outcome, setting
from mplan.studies.odds.design import design
from mplan.studies.odds.store import KeptMission, Store
from tests.conftest import MISSIONS

SCATTERED = {"dry_mass": "0.5 %", "isp": "0.2 %"}
MANY = 24
ROUND = MISSIONS / "round_the_moon.toml"  # the quickest to fly


@pytest.fixture(scope="module")
def plan() -> mplan.Plan:
    return mplan.fly(mplan.load(ROUND).change("dispersions", SCATTERED))


@pytest.fixture(scope="module")
def unbroken(plan, tmp_path_factory) -> tuple[odds.Odds, Path]:
    """All missions flown at once in this process, and the folder that keeps them."""
    folder = tmp_path_factory.mktemp("unbroken")
    return odds.of(plan, MANY, 1, workers=1, to=folder), folder


def parquet(folder: Path) -> bytes:
    (found,) = folder.glob("*.parquet")
    return found.read_bytes()


def test_counts_are_of_all_missions(unbroken):
    found, _ = unbroken
    assert found.flown == found.asked == MANY
    assert found.holds.of == MANY
    assert found.untouched.count <= found.holds.count
    assert sum(found.ended.values()) == MANY


def test_two_processes_give_the_same_to_the_byte(plan, unbroken, tmp_path):
    found, folder = unbroken
    assert odds.of(plan, MANY, 1, workers=2, to=tmp_path) == found
    assert parquet(tmp_path) == parquet(folder)


def test_a_stopped_run_goes_on_without_losing_or_repeating_one(plan, unbroken, tmp_path):
    found, folder = unbroken
    part = odds.of(plan, MANY, 1, workers=1, to=tmp_path, stopped=lambda: True)
    assert part.stopped
    assert 0 < part.flown < MANY
    assert not list(tmp_path.glob("*.parquet"))
    told: list[int] = []
    whole = odds.of(plan, MANY, 1, workers=1, to=tmp_path, done=lambda n, of: told.append(n))
    assert told[0] == part.flown
    assert whole == found
    assert parquet(tmp_path) == parquet(folder)


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="no signal that kills outright")
def test_a_killed_run_goes_on_too(plan, unbroken, tmp_path):
    """Killed outright once some missions are kept; what is kept is whole, and the rest is flown."""
    found, folder = unbroken
    code = (
        "import mplan, pathlib; from mplan.studies import odds;"
        f"plan = mplan.fly(mplan.load({str(ROUND)!r}).change('dispersions', {SCATTERED!r}));"
        f"odds.of(plan, {MANY}, 1, workers=1, to=pathlib.Path({str(tmp_path)!r}))"
    )
    running = subprocess.Popen([sys.executable, "-c", code])
    try:
        until = time.monotonic() + 120.0
        while _kept(tmp_path) == 0 and time.monotonic() < until and running.poll() is None:
            time.sleep(0.02)
    finally:
        os.kill(running.pid, signal.SIGKILL)
        running.wait()
    assert 0 < _kept(tmp_path) <= MANY
    assert odds.of(plan, MANY, 1, workers=1, to=tmp_path) == found
    assert parquet(tmp_path) == parquet(folder)


def _kept(folder: Path) -> int:
    for path in folder.glob("*.sqlite"):
        try:
            with closing(sqlite3.connect(path)) as there:
                return there.execute("select count(*) from missions").fetchone()[0]
        except sqlite3.OperationalError:  # it has no table yet
            continue
    return 0


def test_another_seed_or_scenario_goes_on_with_nothing(plan, unbroken, tmp_path):
    """Each has a file of its own."""
    started: list[int] = []
    odds.of(plan, MANY, 2, workers=1, to=tmp_path, stopped=lambda: True)
    other = mplan.fly(plan.scenario.change("mission.crew_mass", "112 kg"))
    for each, seed in ((plan, 1), (other, 2)):
        odds.of(
            each,
            MANY,
            seed,
            workers=1,
            to=tmp_path,
            done=lambda n, of: started.append(n),
            stopped=lambda: True,
        )
    assert started.count(0) == 2
    assert len(list(tmp_path.glob("*.sqlite"))) == 3


def test_the_table_has_what_was_drawn_and_what_came_of_it(unbroken):
    found, folder = unbroken
    table = pq.read_table(next(folder.glob("*.parquet"))).to_pandas()
    assert list(table["mission"]) == list(range(MANY))
    assert int(table["holds"].sum()) == found.holds.count
    assert "dry mass of crew module [share of the planned]" in table
    for burn in found.burns:
        left = table[burn.left.name]
        assert np.quantile(left, 0.5) == pytest.approx(burn.left.quantiles[1])
        assert int((left >= -0.005).sum()) == burn.flown.count


def test_so_far(plan):
    seen: list[odds.Odds] = []
    odds.of(plan, MANY, 1, workers=1, so_far=lambda tell: seen.append(tell()))
    assert [each.flown for each in seen] == [10, 20, MANY]


def test_a_mission_is_kept_once(tmp_path):
    store = Store(tmp_path / "x.sqlite")
    store.add([KeptMission(3, "flown", "", [1.0, 2.0])])
    with pytest.raises(ScenarioError, match=r"x\.sqlite: another run keeps these missions there"):
        store.add(
            [KeptMission(4, "flown", "", [1.0, 2.0]), KeptMission(3, "flown", "", [9.0, 9.0])]
        )
    assert list(store) == [KeptMission(3, "flown", "", [1.0, 2.0])]
    assert store.column(1).tolist() == [2.0]
    store.close()


def test_no_file_of_missions_is_refused_by_name(plan, tmp_path):
    (tmp_path / "file").write_text("no folder")
    with pytest.raises(OSError, match="file"):
        odds.of(plan, MANY, 1, workers=1, to=tmp_path / "file")


@pytest.mark.parametrize("missions", [0, -1, 1_000_000_000])
def test_no_missions_or_a_billion_are_refused_with_their_count(plan, missions):
    with pytest.raises(ScenarioError, match=f"found {missions:,}; accepted: from 1 to 200,000"):
        odds.of(plan, missions)


def test_without_dispersions_there_are_no_odds():
    plan = mplan.fly(mplan.load(ROUND))
    with pytest.raises(ScenarioError, match=r"dispersions: missing; write the table \[disp"):
        odds.of(plan, 10)


def test_nothing_drawn_is_the_plan(landing_plan):
    """With every departure zero a mission leaves what the plan leaves, reserves not taken off.

    But for corrections, which no error asks for: they leave what the plan keeps for 99 %; and for
    the climb, whose attitudes are read back from its track (2 dm/s).
    """
    scenario = landing_plan.scenario.change("dispersions", SCATTERED)
    plan = mplan.fly(scenario, like=landing_plan)
    start = setting.of(plan)
    flown = outcome.figures_of(start.fly([0.0] * len(start.drawn)))
    for name, burn in outcome.ended_on(plan.flight).items():
        ship = burn.element == plan.flight.burn_of("outbound correction").element
        if not ship:
            left = flown[outcome.left_after(name)]
            assert left == pytest.approx(burn.available - burn.required, abs=0.3), name


def test_missions_return_as_well_as_from_the_best_place(landing_plan):
    """From the planned place the return costs no more, to 0.02 m/s, than from a place sought anew.

    A mission's own best place is sought with stays that differ by half an hour.
    """
    scattered = {"stay_time": "1 %", "dry_mass": "0.5 %"}
    plan = mplan.fly(landing_plan.scenario.change("dispersions", scattered), like=landing_plan)
    start = setting.of(plan)
    anew = {name: replace(each, homeward=None) for name, each in start.ships.items()}
    sought = replace(start, ships=anew)
    for drawn in design([each.spread for each in start.drawn], 4, 1).tolist():
        one, other = (x.fly(drawn).end.homeward for x in (start, sought))
        assert one.delta_v == pytest.approx(other.delta_v, abs=0.02)
        assert one.t == pytest.approx(other.t, abs=30.0)


def test_a_burn_with_scattered_isp_and_mass_is_the_rocket_equation(landing_plan):
    """What a full stage has for its burns, mission by mission: g0 Isp ln(m / (m - usable)).

    Of the descent stage, at its first burn: nothing before that depends on what scatters here.
    """
    own = {"descent_stage": {"dry_mass": "1 %", "engines": {"main": {"isp": "0.5 %"}}}}
    scenario = landing_plan.scenario.change("dispersions", {"elements": own})
    plan = mplan.fly(scenario, like=landing_plan)
    start, burn = setting.of(plan), plan.flight.burn_of("descent-orbit insertion")
    engine = scenario.elements["descent_stage"].engines["main"]
    dry = scenario.elements["descent_stage"].dry_mass * (1.0 + scenario.margins.mass_growth)
    places = {each.title: i for i, each in enumerate(start.drawn)}
    mass_at = places["dry mass of descent stage"]
    isp_at = next(i for title, i in places.items() if title.startswith("specific impulse"))
    for numbers in design([each.spread for each in start.drawn], 4, 1):
        flown = start.fly(numbers.tolist()).burn_of("descent-orbit insertion")
        isp = engine.isp_vacuum * (1.0 + numbers[isp_at])
        mass = burn.mass + numbers[mass_at] * dry
        available = G0 * isp * log(mass / (mass - burn.usable))
        assert flown.available == pytest.approx(available, abs=0.05)


def test_propellant_of_a_burn_propagates_linearly():
    """Gaussian Isp and mass: mean and standard deviation by the rocket equation's derivatives.

    m_p = m (1 - exp(-dv / (g0 Isp))): the derivative by m is m_p / m, that by Isp
    -(m - m_p) dv / (g0 Isp^2); 4,000 drawn ones have their deviation to 1 / sqrt(2 n), 1.1 %.
    """
    mass, isp, dv, n = 50_000.0, 450.0, 3_200.0, 4_000
    drawn = design([Spread(-CUT * s, CUT * s, s, True) for s in (0.005, 0.002)], n, 1)
    sampled = np.array([propellant(isp * (1.0 + b), mass * (1.0 + a), dv) for a, b in drawn])
    burned = propellant(isp, mass, dv)
    by_mass = burned / mass * (0.005 * mass)
    by_isp = (mass - burned) * dv / (G0 * isp**2) * (0.002 * isp)
    deviation = np.hypot(by_mass, by_isp)
    assert sampled.mean() == pytest.approx(burned, abs=3.0 * deviation / np.sqrt(n))
    assert sampled.std() == pytest.approx(deviation, rel=3.0 / np.sqrt(2.0 * n))
