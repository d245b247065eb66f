"""Which executor serves, by what was asked for and how much there is to do."""

from __future__ import annotations

from mplan.physics import compiling
from mplan.studies.executors import often
from mplan.studies.executors.dask_cluster import DaskCluster
from mplan.studies.executors.executor import Executor
from mplan.studies.executors.in_process import InProcess
from mplan.studies.executors.local_processes import LocalProcesses

WORTH_SHARING = 6  # missions or days: below that, starting processes costs more than they save


def chosen(
    workers: int | None = None, count: int | None = None, scheduler: str | None = None
) -> Executor:
    """Return an executor for `count` questions (None: many), in `workers` processes.

    1 is this process alone; None is one process a core, or this one where there is little to do.
    With the address of a `scheduler`, those of its cluster, however many there are.
    """
    if scheduler is not None:
        return DaskCluster(scheduler)
    little = workers is None and count is not None and count < WORTH_SHARING
    return InProcess() if workers == 1 or little else LocalProcesses(workers)


def make_ready(work: Executor, count: int) -> None:
    """See that `count` questions are flown compiled, where that is worth it: by whoever flies them.

    Processes load what is kept by themselves; this one loads it only if it is to answer.
    """
    if count < WORTH_SHARING:
        return
    if isinstance(work, InProcess):
        often.begin()
    else:
        compiling.keep()
