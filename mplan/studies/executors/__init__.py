"""Who flies many missions: this process, processes beside it, a cluster; all answer alike."""

from __future__ import annotations

from mplan.studies.executors import often, read_only
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
    "make_ready",
    "often",
]

read_only.allow()
