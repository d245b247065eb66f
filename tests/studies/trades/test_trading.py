"""Studies as they are flown: the same whoever flies them, none lost and none twice if ended."""

from __future__ import annotations

import io
import signal
import sqlite3
import subprocess
import sys
import time
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest
from pyarrow import parquet

from mplan import cli
from mplan.physics.arcs.compiled import cache_folder
from mplan.plan import fly
from mplan.scenario import ScenarioError, catalogue
from mplan.show import trades as shown
from mplan.studies import executors, trades
from mplan.studies.engines import mounts
from mplan.studies.trades import figures, rows
from mplan.studies.trades import store as stores
from mplan.studies.trades import study as of_study
from mplan.studies.trades.flying import CaseOutcome, CaseStart, fly_case
from mplan.vehicle import swap
from mplan.vehicle.stack import on_pad


class Noted:
    """An executor that notes what it is asked."""

    def __init__(self):
        self.asked = []

    def answers(self, ask, questions, stopped):
        for index, question in enumerate(questions):
            self.asked.append(question[1])
            yield index, ask(*question)
            if stopped():
                return


def test_each_case_is_flown_as_it_would_be_alone(study, unbroken):
    """Climb kept: as that of the scenario's plan."""
    case, row = list(study.cases())[3], unbroken.rows[3]
    alone = fly(study.scenario.change(case.changes), like=fly(study.scenario))
    assert row.shown == (70.0, 86.0)
    assert row.outcome.closes is alone.closes
    assert row.outcome.figures["tightest margin"].value == alone.tightest.margin
    assert row.outcome.words in alone.verdict


def test_a_case_that_cannot_be_flown_keeps_its_reason(unbroken):
    words = unbroken.rows[2].outcome
    assert words.closes is None
    assert words.words.startswith('not flown: dates.translunar_time: found "300 h"')
    assert not words.figures


def test_processes_change_nothing(study, unbroken):
    found = trades.of(study, executor=executors.LocalProcesses(2))
    assert shown.csv_text(found) == shown.csv_text(unbroken)
    assert shown.parquet(found) == shown.parquet(unbroken)


def test_files_have_units_in_their_headers(unbroken):
    table = parquet.read_table(io.BytesIO(shown.parquet(unbroken)))
    assert table.column_names == [
        "case",
        "orbits.lunar_altitude [km]",
        "dates.translunar_time [h]",
        "climb",
        "closes",
        "decisions open",
        "tightest margin [m/s]",
        "margin after trans-Earth injection [m/s]",
        "time from lift-off to the end [d]",
        "on the front",
        "outcome",
    ]
    assert table["orbits.lunar_altitude [km]"].to_pylist() == [60.0] * 3 + [70.0] * 3
    assert table["closes"].to_pylist()[2] is None
    header, *rows = shown.csv_text(unbroken).splitlines()
    assert header == ",".join(table.column_names)
    assert len(rows) == 6


def test_no_column_stands_twice(study, unbroken):
    """Nor where a study tells all figures of the mission, or asks for one that tables have."""
    told = (*figures.usual(unbroken.planned), figures.DECISIONS)
    header, first, *_ = shown.csv_text(replace(unbroken, told=told)).splitlines()
    names = header.split(",")
    assert len(set(names)) == len(names)
    assert dict(zip(names, first.split(","), strict=False))["decisions open"] in ("0", "1", "2")


def test_what_is_kept_is_not_flown_again(study, unbroken, tmp_path):
    """A study that is stopped after two cases, then gone on with."""
    counts, there = [], []
    with closing(trades.CaseStore(tmp_path / "answers.sqlite")) as store:
        first = trades.of(
            study,
            store=store,
            executor=Noted(),
            done=lambda done, total: counts.append((done, total)),
            so_far=lambda found: there.append(len(found().rows)),
            stopped=lambda: len(counts) > 2,
        )
    assert (len(first.rows), first.whole) == (2, False)
    assert counts == [(0, 6), (1, 6), (2, 6)]
    assert there == [1, 2]
    noted = Noted()
    with closing(trades.CaseStore(tmp_path / "answers.sqlite")) as store:
        found = trades.of(study, store=store, executor=noted)
        assert found.kept == 2
        assert noted.asked == [case.changes for case in list(study.cases())[2:]]
        assert shown.csv_text(found) == shown.csv_text(unbroken)


def test_rows_are_read_as_they_are_asked_for(study, unbroken, tmp_path, monkeypatch):
    """Of a study of many cases none are held; a table of those that were there stays as it is."""
    monkeypatch.setattr(rows, "HELD", 0)
    monkeypatch.setattr(rows, "AT_ONCE", 2)
    early = []
    with closing(trades.CaseStore(tmp_path / "answers.sqlite")) as store:
        found = trades.of(
            study, store=store, executor=Noted(), so_far=lambda there: early.append(there())
        )
        assert shown.csv_text(found) == shown.csv_text(unbroken)
        assert found.rows._held is None
        assert [len(each.rows) for each in early] == [1, 2, 3, 4, 5, 6]
        assert [row.number for row in early[2].rows] == [1, 2, 3]
        assert [found.rows[4], *found.rows[:2]] == [unbroken.rows[4], *unbroken.rows[:2]]
        with pytest.raises(IndexError):
            found.rows[6]
        store.forget()
        with pytest.raises(
            ScenarioError, match=r"study: case 1 \(.*: its answer is no longer kept"
        ):
            list(found.rows)


def test_answers_of_something_else_are_not_taken(study, study_file, monkeypatch):
    """Another mission, another value, another way to climb, another kit: another identity."""
    case = next(study.cases())
    seen = {study.identity(case)}

    def identity(**other):
        changed = replace(study, **other)
        return changed.identity(next(changed.cases()))

    assert study.identity(case) == trades.load_study(study_file).identity(case)
    seen.add(identity(climb="optimised"))
    seen.add(identity(scenario=study.scenario.change("mission.crew_mass", "111 kg")))
    seen.add(study.identity(list(study.cases())[1]))
    monkeypatch.setattr(of_study, "source_digest", lambda: "another kit")
    seen.add(identity())
    assert len(seen) == 5


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="no such signal here")
@pytest.mark.parametrize(("how", "workers"), [("SIGKILL", 2), ("SIGINT", 1)])
def test_an_ended_study_goes_on(how, workers, study, study_file, unbroken, tmp_path, monkeypatch):
    """Ended in mid-run: no case is lost, none is flown twice, and the table is the same."""
    (tmp_path / "integrators").symlink_to(cache_folder())
    monkeypatch.setenv("MPLAN_CACHE", str(tmp_path))
    place, command = stores.place(study_file), ["study", str(study_file), "--workers", str(workers)]
    run = subprocess.Popen(
        [sys.executable, "-m", "mplan", *command], stderr=subprocess.PIPE, text=True
    )
    wait_for(lambda: len(answers(place)) >= 2, run)
    started = children(run.pid)
    run.send_signal(getattr(signal, how))
    _, said = run.communicate(timeout=120)
    wait_until(lambda: not any(map(alive, started)))
    kept = answers(place)
    assert 2 <= len(kept) < 6
    if how == "SIGINT":
        assert run.returncode == 130
        words = f"{len(kept)} of 6 cases are kept: the same command goes on from there"
        assert said == f"stopped; {words}\n"
    noted = Noted()
    with closing(trades.CaseStore(place)) as store:
        found = trades.of(study, store=store, executor=noted)
        assert len(noted.asked) == 6 - len(kept)
        assert answers(place).items() >= kept.items()
        assert len(answers(place)) == 6
        assert shown.csv_text(found) == shown.csv_text(unbroken)


def wait_for(reached, run):
    """Wait until something is reached, as long as a process runs."""
    while not reached():
        assert run.poll() is None, run.stderr.read()
        time.sleep(0.02)


def wait_until(reached):
    """Wait at most a minute."""
    until = time.monotonic() + 60
    while not reached():
        assert time.monotonic() < until
        time.sleep(0.05)


def children(pid: int) -> list[int]:
    """The processes that one has started, where the system tells."""
    file = Path(f"/proc/{pid}/task/{pid}/children")
    return [int(x) for x in file.read_text().split()] if file.exists() else []


def alive(pid: int) -> bool:
    """Whether a process runs on; one that waits to be collected does not."""
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except OSError:
        return False


def answers(place: Path) -> dict[str, str]:
    """What a store holds, read beside whoever writes it."""
    if not place.exists():
        return {}
    with closing(sqlite3.connect(place)) as data:
        try:
            return dict(data.execute("SELECT identity, answer FROM answers"))
        except sqlite3.OperationalError:  # no table yet
            return {}


class Lost:
    """An executor whose second question ends whoever works on it."""

    def answers(self, ask, questions, stopped):
        yield 0, ask(*next(iter(questions)))
        raise executors.WorkerLost(1)


def test_a_case_that_ends_its_process_is_named(study):
    """By what it has otherwise."""
    text = r"processes: case 2 \(orbits.lunar_altitude 60.0 km, dates.translunar_time 92.0 h\): "
    with pytest.raises(ScenarioError, match=text):
        trades.of(study, executor=Lost())


def test_engines_come_after_values(reference_landing):
    """The dry mass that a case states is that to which the engines' own difference is added."""
    (mount,) = mounts(reference_landing, "ascent_stage")
    known = catalogue.read(catalogue.folder(reference_landing, *mount))
    listed = next(x for x in known if swap.fits(reference_landing, *mount, x.engine))
    heavy = {"elements.ascent_stage.dry_mass": "2.6 t"}
    asked = (CaseStart(reference_landing), heavy, (of_study.Swap(mount, listed, 1),))
    found = CaseOutcome.read(fly_case(*asked)).figures["mass on the pad"].value
    laid = swap.swapped(reference_landing.change(heavy), *mount, listed, 1)
    assert found == on_pad(laid).mass / 1e3


def test_a_figure_that_the_mission_has_not_is_refused(study):
    asked = replace(study, tell=("tightest margn",))
    with pytest.raises(ScenarioError, match=r'low_and_slow.toml:5: tell.0: .* "tightest margin"'):
        trades.of(asked, executor=executors.InProcess())


def test_a_store_that_is_none_is_told(tmp_path):
    (tmp_path / "x.sqlite").write_text("hello, this is no database at all" * 100)
    with pytest.raises(ScenarioError, match=r"x\.sqlite: holds no answers of a study"):
        trades.CaseStore(tmp_path / "x.sqlite")


def test_where_nothing_can_be_kept_it_is_said(tmp_path):
    (tmp_path / "file").touch()
    with closing(trades.CaseStore(tmp_path / "file" / "x.sqlite")) as store:
        store.keep("a", "b")
        assert store.known(["a"]) == {"a": "b"}
        assert "x.sqlite" in store.trouble


def test_the_command_prints_and_writes(study_file, unbroken, tmp_path, monkeypatch, capsys):
    """Answers kept by whoever flew them: nothing is left to fly."""
    (tmp_path / "integrators").symlink_to(cache_folder())
    monkeypatch.setenv("MPLAN_CACHE", str(tmp_path))
    with closing(trades.CaseStore(stores.place(study_file))) as store:
        cases = list(unbroken.study.cases())
        for case, row in zip(cases, unbroken.rows, strict=True):
            store.keep(unbroken.study.identity(case), row.outcome.text())
    csv, picture = tmp_path / "x.csv", tmp_path / "x.html"
    asked = ["study", str(study_file), "--csv", str(csv), "--picture", str(picture)]
    assert cli.main([*asked, "--accept-decisions"]) == 0
    out = capsys.readouterr().out
    assert out.startswith("Low and Slow: 6 cases: ")
    assert "2 cases not flown: dates.translunar_time" in out.replace("\n", " ")
    assert max(map(len, out.splitlines())) <= 100
    assert csv.read_text("utf-8") == shown.csv_text(unbroken)
    assert "margin after trans-Earth injection [m/s], more is better" in picture.read_text("utf-8")


@pytest.mark.parametrize(
    ("asked", "text"),
    [
        (["--workers", "0"], "--workers: found 0"),
        (["--workers", "2", "--scheduler", "tcp://127.0.0.1:1"], "does not go with --scheduler"),
        (["--picture", "x.gif"], "--picture: found x.gif"),
        (["--again"], "no such file; studies that come with the kit"),
    ],
)
def test_what_the_command_refuses(asked, text, capsys):
    assert cli.main(["study", "low_and_fast", *asked]) == 2
    assert text in capsys.readouterr().err
