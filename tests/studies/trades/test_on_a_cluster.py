"""A study on the workers of a cluster: the same answers, and none lost with a worker."""

from __future__ import annotations

import os
import signal
import socket
from concurrent.futures import ThreadPoolExecutor

import pytest

from mplan import __version__, cli
from mplan.plan import fly
from mplan.scenario import ScenarioError
from mplan.show import trades as shown
from mplan.studies import executors, odds, trades
from mplan.studies.executors import dask_cluster
from mplan.studies.kit import source_digest
from tests.studies.cluster import cluster

pytestmark = [
    pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="no such signal here"),
    # The library's own, when a client is closed while messages are under way.
    pytest.mark.filterwarnings("ignore:unclosed:ResourceWarning"),
]


@pytest.fixture(scope="module")
def there(tmp_path_factory):
    """A scheduler and two workers."""
    with cluster(tmp_path_factory.mktemp("cluster")) as made:
        made.worker()
        made.worker()
        yield made


def test_a_worker_that_is_killed_loses_nothing(there, study, unbroken):
    """One of two, both at work: the table is that of an unbroken run here, byte for byte."""
    _, gone, _ = there.processes

    def kill(done, total):
        if done == 1:
            gone.kill()

    executor = executors.chosen(scheduler=there.address)
    found = trades.of(study, executor=executor, done=kill)
    assert gone.wait(10) == -signal.SIGKILL
    assert shown.csv_text(found) == shown.csv_text(unbroken)
    assert shown.parquet(found) == shown.parquet(unbroken)


def test_odds_are_the_same_there(there, study, tmp_path):
    """Every mission as it is kept, byte for byte."""
    plan = fly(study.scenario.change("dispersions", {"dry_mass": "0.5 %", "isp": "0.2 %"}))
    here, far = tmp_path / "here", tmp_path / "far"
    found = odds.of(plan, 24, executor=executors.InProcess(), to=here)
    assert odds.of(plan, 24, executor=executors.DaskCluster(there.address), to=far) == found
    (one,), (other,) = here.glob("*.parquet"), far.glob("*.parquet")
    assert one.read_bytes() == other.read_bytes()


@pytest.mark.parametrize(
    ("command", "options"),
    [("windows", ("--days", "2")), ("engines", ("--element", "ascent_stage"))],
)
def test_windows_and_engines_are_the_same_there(
    there, reference_landing, tmp_path, command, options
):
    """What the commands write, byte for byte, and the same exit code."""
    here, far = tmp_path / "here.json", tmp_path / "far.json"
    asked = [command, str(reference_landing.source), *options, "--json"]
    code = cli.main([*asked, str(here), "--workers", "1"])
    assert cli.main([*asked, str(far), "--scheduler", there.address]) == code
    assert here.read_bytes() == far.read_bytes()


def test_what_is_raised_is_raised_here(there):
    with pytest.raises(ZeroDivisionError):
        list(executors.DaskCluster(there.address).answers(divmod, [(1, 0)]))


def test_leaving_early_drops_the_rest(there):
    """Questions are taken as there is room for them, and an end of them is not needed."""
    taken = []

    def endless():
        while True:
            taken.append(1)
            yield 7, 2

    answers = executors.DaskCluster(there.address).answers(divmod, endless())
    assert next(answers)[1] == (3, 1)
    answers.close()
    assert len(taken) <= 2 * dask_cluster.AHEAD * 3


def test_a_question_that_ends_its_worker_is_named(tmp_path, monkeypatch):
    """A scheduler that allows no failure: the first one is the last."""
    monkeypatch.setenv("DASK_DISTRIBUTED__SCHEDULER__ALLOWED_FAILURES", "0")
    with cluster(tmp_path) as made:
        made.worker()
        with pytest.raises(executors.WorkerLost, match="processes: case 1: ") as lost:
            list(executors.DaskCluster(made.address).answers(os._exit, [(1,)]))
    assert lost.value.index == 0


def test_a_worker_with_another_kit_is_refused(tmp_path):
    """With both versions; it need not even have the function that tells the source."""
    (tmp_path / "mplan").mkdir()
    (tmp_path / "mplan" / "__init__.py").write_text('__version__ = "9.9"\n')
    (tmp_path / "mplan-9.9.dist-info").mkdir()
    about = "Metadata-Version: 2.1\nName: mplan\nVersion: 9.9\n"
    (tmp_path / "mplan-9.9.dist-info" / "METADATA").write_text(about)
    with cluster(tmp_path) as made:
        made.worker(tmp_path, PYTHONPATH=str(tmp_path))
        with pytest.raises(ScenarioError, match=r"scheduler: tcp://127.* has mplan 9\.9 ") as told:
            list(executors.DaskCluster(made.address).answers(divmod, [(1, 1)]))
        assert f"accepted: mplan {__version__} (source {source_digest()})" in str(told.value)


def test_a_scheduler_without_workers_is_refused(tmp_path, monkeypatch):
    monkeypatch.setattr(dask_cluster, "PATIENCE", 5.0)
    with cluster(tmp_path) as made, pytest.raises(ScenarioError, match="has no workers, 5 s long"):
        list(executors.DaskCluster(made.address).answers(divmod, [(1, 1)]))


def test_a_scheduler_that_does_not_answer_is_refused(monkeypatch, study_file, capsys):
    """Somebody listens there, and says nothing."""
    monkeypatch.setattr(dask_cluster, "PATIENCE", 1.0)
    with socket.create_server(("127.0.0.1", 0)) as silent:
        address = f"tcp://127.0.0.1:{silent.getsockname()[1]}"
        assert cli.main(["study", str(study_file), "--again", "--scheduler", address]) == 2
    assert f"scheduler: {address}: no scheduler answers within 1 s" in capsys.readouterr().err


def test_what_is_no_address_is_refused():
    with pytest.raises(ScenarioError, match=r"scheduler: nowhere: .*missing port"):
        list(executors.DaskCluster("nowhere").answers(divmod, [(1, 1)]))


def test_another_service_is_refused(monkeypatch, study_file, capsys):
    """The address of a web page, such as the scheduler's own, is no scheduler's."""
    with socket.create_server(("127.0.0.1", 0)) as web, ThreadPoolExecutor(1) as aside:
        answered = aside.submit(_answer_as_a_page, web)
        address = f"tcp://127.0.0.1:{web.getsockname()[1]}"
        assert cli.main(["study", str(study_file), "--again", "--scheduler", address]) == 2
        answered.result()
    assert f"scheduler: {address}: what answers there is no scheduler" in capsys.readouterr().err


def _answer_as_a_page(web):
    with web.accept()[0] as asking:
        asking.sendall(b"HTTP/1.1 400 Bad Request\r\nConnection: close\r\n\r\n" + b" " * 200)
        while asking.recv(4096):
            pass
