"""A scheduler and workers of a Dask cluster, processes of their own, on this machine alone."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

HERE = "127.0.0.1"


class Cluster:
    """One scheduler, and workers that are started one by one."""

    def __init__(self, folder: Path):
        self.folder, self.file = folder, folder / "scheduler.json"
        self.processes: list[subprocess.Popen] = []
        self._start("dask_scheduler", "--port", "0", "--scheduler-file", str(self.file))
        self._wait(lambda: self.file.exists() and '"address"' in self.file.read_text())

    @property
    def address(self) -> str:
        return self.file.read_text().partition('"address": "')[2].partition('"')[0]

    def worker(self, begin: Path | None = None, **environment: str) -> subprocess.Popen:
        """Start a worker with one thread, in a folder whose packages come first."""
        options = ("--nthreads", "1", "--no-nanny", "--local-directory", str(self.folder))
        return self._start("dask_worker", self.address, *options, begin=begin, **environment)

    def _start(
        self, what: str, *options: str, begin: Path | None = None, **environment: str
    ) -> subprocess.Popen:
        command = [sys.executable, "-m", f"distributed.cli.{what}", "--host", HERE]
        run = subprocess.Popen(
            [*command, "--no-dashboard", *options],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            cwd=begin,
            env={**os.environ, "OMP_NUM_THREADS": "1", **environment},
        )
        self.processes.append(run)
        return run

    def _wait(self, reached) -> None:
        until = time.monotonic() + 120
        while not reached():
            assert time.monotonic() < until, "no scheduler"
            time.sleep(0.05)

    def close(self) -> None:
        for each in reversed(self.processes):
            with suppress(OSError):
                each.kill()
            each.wait()


@contextmanager
def cluster(folder: Path) -> Iterator[Cluster]:
    """Yield a cluster without workers; end all its processes."""
    made = Cluster(folder)
    try:
        yield made
    finally:
        made.close()
