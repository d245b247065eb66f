"""Who flies many missions: this process, processes beside it, a cluster; all answer alike."""

from __future__ import annotations

from typing import TYPE_CHECKING

from mplan.studies.executors import fork_server, read_only

if TYPE_CHECKING:
    from mplan.studies.executors import often
    from mplan.studies.executors.choice import WORTH_SHARING, chosen, make_ready
    from mplan.studies.executors.dask_cluster import DaskCluster
    from mplan.studies.executors.executor import Executor, WorkerLost
    from mplan.studies.executors.in_process import InProcess
    from mplan.studies.executors.local_processes import LocalProcesses

__all__ = [
    "WORTH_SHARING",
    "DaskCluster",
    "Executor",
    "InProcess",
    "LocalProcesses",
    "WorkerLost",
    "chosen",
    "fork_server",
    "make_ready",
    "often",
]

_HOMES = {
    "WORTH_SHARING": "choice",
    "chosen": "choice",
    "make_ready": "choice",
    "DaskCluster": "dask_cluster",
    "Executor": "executor",
    "WorkerLost": "executor",
    "InProcess": "in_process",
    "LocalProcesses": "local_processes",
}

read_only.allow()


def __getattr__(name: str) -> object:
    """Bring in a name when it is first asked for: a command starts the server before all else."""
    if name in _HOMES:
        from importlib import import_module

        return getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
