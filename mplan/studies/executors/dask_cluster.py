"""Processes on any machines, through the scheduler of a Dask cluster that is already running.

Who works where, what becomes of a worker that is lost, and how bytes travel is the library's. Here
is what makes the answers those of this machine: every worker has the same kit and libraries, and
flies one mission at a time. Processors of another kind may round otherwise; that is not looked at.
"""

from __future__ import annotations

import logging
import time
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from importlib.metadata import version
from threading import Lock
from typing import TYPE_CHECKING, Any, NoReturn

from mplan.scenario import Problem, ScenarioError
from mplan.studies.executors.executor import LISTEN, Answer, Question, WorkerLost, never
from mplan.studies.kit import source_digest

if TYPE_CHECKING:
    from distributed import Client, Future

PATIENCE = 10.0  # s, for a scheduler that does not answer, and for a first worker
AHEAD = 2  # questions a worker: one that it works on, and the next
LOOK = 5.0  # s, after which workers are counted again

_ALONE = Lock()  # integrators that are kept are no two threads' at once


@dataclass(frozen=True)
class DaskCluster:
    """Answers from the workers of a scheduler, such as `tcp://10.0.0.7:8786`.

    A question whose worker is lost is asked again, as often as the scheduler's `allowed-failures`
    says. A worker with another kit is refused; a worker of several threads uses one at a time.
    """

    address: str

    def answers(
        self,
        ask: Callable[..., Answer],
        questions: Iterable[Question],
        stopped: Callable[[], bool] = never,
    ) -> Iterator[tuple[int, Answer]]:
        """Yield the answers; see `Executor`.

        Raises `ScenarioError` where no scheduler or worker is there, or a worker has another kit.
        """
        with _connected(self.address) as client:
            _refuse_other_kits(client, self.address)
            crew, numbered = _Crew(client, self.address), enumerate(questions)
            asked: dict[Future, int] = {}
            try:
                while not stopped():
                    _refill(client, crew, ask, numbered, asked)
                    if not asked:
                        return
                    for future in _finished(client, self.address, asked):
                        index = asked.pop(future)
                        yield index, _answer(self.address, future, index)
                        if stopped():
                            return
            finally:
                client.cancel(list(asked), force=True)


class _Crew:
    """How many questions may be under way: counted anew now and then, for workers come and go."""

    def __init__(self, client: Client, address: str) -> None:
        self._client, self._address = client, address
        self._counted, self._room = 0.0, 0

    @property
    def room(self) -> int:
        if time.monotonic() - self._counted > LOOK:
            _await_worker(self._client, self._address)
            self._counted, self._room = time.monotonic(), AHEAD * len(self._client.nthreads())
        return max(1, self._room)


@contextmanager
def _connected(address: str) -> Iterator[Client]:
    """Yield a client of the scheduler that has a worker at least."""
    import asyncio  # 30 ms of every start, for those alone who ask a cluster

    Client = _library(address).Client
    with _hushed():
        try:
            with ThreadPoolExecutor(1) as aside:  # a notebook's own thread has a loop already
                aside.submit(asyncio.run, _hear_from(address)).result()
            client = Client(address, timeout=PATIENCE, set_as_default=False, name="mplan")
        except (OSError, ValueError, TypeError, *_late()) as problem:
            _refuse(address, f"no scheduler answers within {PATIENCE:.0f} s{_why(problem)}")
        except MemoryError:  # first bytes of another protocol, read as the length of a message
            _refuse(address, "what answers there is no scheduler; accepted: the address it prints")
        try:
            _await_worker(client, address)
            yield client
        finally:
            client.close()


async def _hear_from(address: str) -> None:
    """Wait for a word of the scheduler: a client waits forever for one that only listens."""
    import asyncio

    from distributed import rpc

    async with rpc(address) as scheduler:
        await asyncio.wait_for(scheduler.identity(), PATIENCE)


def _late() -> tuple[type[Exception], type[Exception]]:
    """Return what is raised by who waits in vain: one and the same since Python 3.11."""
    import asyncio

    return TimeoutError, asyncio.TimeoutError


def _library(address: str) -> Any:  # noqa: ANN401 (a module)
    try:
        import distributed
    except ModuleNotFoundError:
        _refuse(address, "needs the library distributed: pip install 'mplan[cluster]'")
    return distributed


def _await_worker(client: Client, address: str) -> None:
    until = time.monotonic() + PATIENCE
    while not client.nthreads():
        if time.monotonic() > until:
            _refuse(address, f"the scheduler has no workers, {PATIENCE:.0f} s long")
        time.sleep(0.1)


def _refuse_other_kits(client: Client, address: str) -> None:
    """Refuse workers that would give other numbers, with what they have and what there is here."""
    here = _kit(version("mplan"), source_digest())
    versions = client.run(version, "mplan", on_error="return")
    digests = client.run(source_digest, on_error="return")
    for worker, number in versions.items():
        there = _kit(number, digests.get(worker))
        if there != here:
            _refuse(address, f"worker {worker} has {there}; accepted: {here}, as here")


def _kit(number: object, digest: object) -> str:
    """Return the version of a kit in words; what a worker raised when asked is none."""
    if isinstance(number, BaseException):
        return "no mplan"
    told = digest if isinstance(digest, str) else "another"
    return f"mplan {number} (source {told})"


def _refill(
    client: Client,
    crew: _Crew,
    ask: Callable[..., Any],
    numbered: Iterator[tuple[int, Question]],
    asked: dict[Future, int],
) -> None:
    """Ask as many questions as there is room for."""
    while len(asked) < crew.room:
        for index, question in numbered:
            given = (source_digest(), ask, tuple(question))
            asked[client.submit(answer_alone, *given, pure=False, priority=-index)] = index
            break
        else:
            return


def answer_alone(kit: str, ask: Callable[..., Answer], question: Question) -> Answer:
    """Return an answer, in a worker; nothing else is flown in its process meanwhile.

    Raises `ScenarioError` in a worker that has joined since with another kit.
    """
    if kit != source_digest():
        here = _kit(version("mplan"), source_digest())
        raise ScenarioError([Problem("worker", "", f"has {here}; accepted: source {kit}")])
    with _ALONE:
        return ask(*question)


def _finished(client: Client, address: str, asked: dict[Future, int]) -> list[Future]:
    """Return futures that are done, or none after a while; refuse a scheduler that went."""
    from distributed import wait

    try:
        with client.as_current():
            return list(wait(list(asked), timeout=LISTEN, return_when="FIRST_COMPLETED").done)
    except _late():
        if client.status != "running":
            _refuse(address, "the scheduler is gone")
        return []


def _answer(address: str, future: Future, index: int) -> Any:  # noqa: ANN401 (whatever was asked)
    """Return what came of a question; raise what it raised."""
    from distributed.client import FutureCancelledError
    from distributed.scheduler import KilledWorker

    try:
        return future.result()
    except KilledWorker:
        raise WorkerLost(index) from None
    except FutureCancelledError as problem:
        _refuse(address, f"the scheduler is gone ({problem})")


@contextmanager
def _hushed() -> Iterator[None]:
    """Let the library say nothing meanwhile: what goes wrong is raised."""
    log = logging.getLogger("distributed")
    before = log.level
    log.setLevel(logging.CRITICAL)
    try:
        yield
    finally:
        log.setLevel(before)


def _refuse(address: str, text: str) -> NoReturn:
    raise ScenarioError([Problem("scheduler", address, text)])


def _why(problem: BaseException) -> str:
    return f" ({problem})" if str(problem) else ""
