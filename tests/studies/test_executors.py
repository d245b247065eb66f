"""Who answers many questions: the same answers from all, none lost, none asked for in vain."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest

from mplan.physics import compiling
from mplan.studies import executors
from mplan.studies.executors.background import YIELDS

LOCAL = [executors.InProcess(), executors.LocalProcesses(2)]
KILLS = pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="no such signal here")


def square(x):
    return x * x


def late_square(x, folder, late):
    """Answer once the question called `late` has been begun too."""
    (folder / str(x)).touch()
    while not (folder / str(late)).exists():
        time.sleep(0.01)
    return x * x


def refuse(x):
    raise ValueError(f"not {x}")


def niceness():
    return os.nice(0)


def threads():
    return os.environ["OPENBLAS_NUM_THREADS"]


def killed(x, folder, times):
    """End the own process without a word, so many times."""
    before = len(list(folder.glob(f"{x}.*")))
    if before < times.get(x, 0):
        (folder / f"{x}.{before}").touch()
        os.kill(os.getpid(), signal.SIGKILL)
    return x * x


@pytest.mark.parametrize("executor", LOCAL, ids=lambda x: type(x).__name__)
def test_every_question_has_its_answer(executor):
    found = dict(executor.answers(square, ((x,) for x in range(7))))
    assert found == {x: x * x for x in range(7)}


@pytest.mark.parametrize("executor", LOCAL, ids=lambda x: type(x).__name__)
def test_no_questions_no_answers(executor):
    assert list(executor.answers(square, ())) == []


@pytest.mark.parametrize("executor", LOCAL, ids=lambda x: type(x).__name__)
def test_what_is_raised_is_raised_here(executor):
    with pytest.raises(ValueError, match="not 3"):
        list(executor.answers(refuse, [(3,)]))


@pytest.mark.parametrize("executor", LOCAL, ids=lambda x: type(x).__name__)
def test_questions_are_taken_as_they_are_asked(executor):
    taken = []

    def endless():
        while True:
            taken.append(1)
            yield (len(taken),)

    answers = executor.answers(square, endless())
    for _ in range(5):
        next(answers)
    answers.close()
    assert len(taken) <= 5 + 2 * 2, "each process has one, and the next is asked as it answers"


@pytest.mark.parametrize("executor", LOCAL, ids=lambda x: type(x).__name__)
def test_nothing_comes_after_stop(executor):
    found = []
    for each in executor.answers(square, ((x,) for x in range(7)), lambda: len(found) == 3):
        found.append(each)
    assert len(found) == 3


def test_stop_is_heard_while_no_answer_comes(tmp_path):
    """The question ends with the test alone: waiting for its answer would never end."""
    heard = []

    def stopped():
        heard.append((tmp_path / "1").exists())
        return heard[-1]

    answers = executors.LocalProcesses(1).answers(late_square, [(1, tmp_path, 2)], stopped)
    assert list(answers) == []
    (tmp_path / "2").touch()  # let the process end
    assert heard[-1]


def test_processes_work_at_once(tmp_path):
    """The first question waits for the second, and that one for the first."""
    both = executors.LocalProcesses(2).answers(late_square, [(1, tmp_path, 2), (2, tmp_path, 1)])
    assert dict(both) == {0: 1, 1: 4}


@KILLS
def test_a_killed_process_loses_no_question(tmp_path):
    asked = [(x, tmp_path, {1: 2, 3: 1}) for x in range(5)]
    found = list(executors.LocalProcesses(2).answers(killed, asked))
    assert sorted(found) == [(x, x * x) for x in range(5)]


@KILLS
def test_a_question_that_always_kills_is_named(tmp_path):
    asked = [(x, tmp_path, {1: 99}) for x in range(3)]
    with pytest.raises(executors.WorkerLost, match=r"processes: case 2: .* ended 3 times") as lost:
        list(executors.LocalProcesses(1).answers(killed, asked))
    assert lost.value.index == 1
    assert len(list(tmp_path.iterdir())) == 3


@pytest.mark.skipif(not hasattr(os, "nice"), reason="no priorities of POSIX here")
def test_shared_work_yields_to_its_caller():
    ((_, found),) = executors.LocalProcesses(1).answers(niceness, [()])
    assert found == min(19, os.nice(0) + YIELDS)


def test_linear_algebra_keeps_to_one_core():
    before = dict(os.environ)
    assert list(executors.LocalProcesses(1).answers(threads, [()])) == [(0, "1")]
    assert dict(os.environ) == before


def loaded():
    """Return whether all is there that a first flight would load, and how many strange threads."""
    strange = len(os.listdir("/proc/self/task")) - threading.active_count()
    return "mplan.studies.windows" in sys.modules, compiling.compiled(), strange


SERVER = pytest.mark.skipif(not executors.fork_server.COPIES, reason="processes start anew here")


@SERVER
def test_a_copy_has_loaded_what_flights_need():
    """And no library has threads in it, which a copy would have half."""
    assert compiling.load(), "kept compiled, before the server starts"
    run = [sys.executable, "-c", COPIED]
    said = subprocess.run(
        run, capture_output=True, text=True, check=True, cwd=Path(__file__).parent
    )
    assert said.stdout == "[(0, (True, True, 0))]\n"


COPIED = """
from test_executors import loaded
from mplan.studies.executors import LocalProcesses
print(list(LocalProcesses(1).answers(loaded, [()])))
"""


@SERVER
def test_the_server_ends_with_who_started_it():
    """Killed outright, too: it hears the end of a pipe."""
    with subprocess.Popen([sys.executable, "-c", KILLED], stdout=subprocess.PIPE, text=True) as it:
        server = int(it.stdout.readline())
        assert Path(f"/proc/{server}").exists()
        it.kill()
        it.wait()
        deadline = time.monotonic() + 60
        while running(server) and time.monotonic() < deadline:
            time.sleep(0.05)
        assert not running(server)


KILLED = """
import time
from multiprocessing import forkserver
from mplan.studies.executors import fork_server
fork_server.begin()
print(forkserver._forkserver._forkserver_pid, flush=True)
time.sleep(600)
"""


def running(pid):
    """Return whether a process is there and no zombie: in a container nobody may fetch those."""
    try:
        return " Z " not in Path(f"/proc/{pid}/stat").read_text("utf-8").rpartition(")")[2][:4]
    except OSError:
        return False


def test_a_process_has_the_environment_of_its_starter(monkeypatch):
    """As it is when the process starts, not as it was when the server did."""
    monkeypatch.setenv("MPLAN_TEST", "1")
    executor = executors.LocalProcesses(1)
    assert list(executor.answers(os.getenv, [("MPLAN_TEST",)])) == [(0, "1")]
    monkeypatch.delenv("MPLAN_TEST")
    assert list(executor.answers(os.getenv, [("MPLAN_TEST",)])) == [(0, None)]


def test_little_work_stays_here():
    little, much = executors.WORTH_SHARING - 1, executors.WORTH_SHARING
    assert executors.chosen(None, little) == executors.InProcess()
    assert executors.chosen(None, much) == executors.LocalProcesses(None)
    assert executors.chosen() == executors.LocalProcesses(None)
    assert executors.chosen(1, 10**6) == executors.InProcess()
    assert executors.chosen(2, little) == executors.LocalProcesses(2)


FIRST_BLOCKED = """
import signal
import subprocess
import sys
from mplan.studies.executors import LocalProcesses
(_, blocked), = LocalProcesses(1).answers(signal.pthread_sigmask, [(signal.SIG_BLOCK, ())])
print(signal.SIGINT in blocked)
"""


@pytest.mark.skipif(not hasattr(signal, "pthread_sigmask"), reason="no masks of signals here")
def test_the_first_process_is_born_deaf_too():
    """The tracker that Python starts with the first process would unblock what is blocked."""
    run = [sys.executable, "-c", FIRST_BLOCKED]
    assert subprocess.run(run, capture_output=True, text=True, check=True).stdout == "True\n"


LATER = """
import os, signal, threading, time
from mplan.studies.executors import fork_server
threading.Thread(target=time.sleep, args=(60,), daemon=True).start()  # it takes what is blocked
try:
    with fork_server.quiet():
        os.kill(os.getpid(), signal.SIGINT)
        time.sleep(0.5)
        print("whole", flush=True)
    print("deaf")
except KeyboardInterrupt:
    print("heard")
"""


@pytest.mark.skipif(not hasattr(signal, "pthread_sigmask"), reason="no masks of signals here")
def test_no_process_is_left_half_started():
    """Ctrl-C meanwhile is heard after, also where another thread takes the signal."""
    run = [sys.executable, "-c", LATER]
    said = subprocess.run(run, capture_output=True, text=True, check=True).stdout
    assert said.split() == ["whole", "heard"]


@pytest.mark.parametrize(
    ("work", "count", "wanted"),
    [
        (executors.InProcess(), executors.WORTH_SHARING, ["start"]),
        (executors.LocalProcesses(2), executors.WORTH_SHARING, ["keep"]),
        (executors.LocalProcesses(2), executors.WORTH_SHARING - 1, []),
    ],
)
def test_functions_are_compiled_for_whoever_flies(monkeypatch, work, count, wanted):
    """This process loads them only where it flies itself; for a few flights nothing is done."""
    asked = []
    for name in ("start", "keep"):
        monkeypatch.setattr(compiling, name, lambda name=name: asked.append(name))
    executors.make_ready(work, count)
    assert asked == wanted
