"""Executing a workbook in a kernel that runs this very Python, whatever else is installed."""

from __future__ import annotations

import asyncio
import os
import signal
import sys
import tempfile
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor, wait
from contextlib import suppress
from pathlib import Path
from typing import IO

from jupyter_client import AsyncKernelManager
from jupyter_client.kernelspec import KernelSpec, KernelSpecManager
from nbclient import NotebookClient
from nbclient.exceptions import CellExecutionError, DeadKernelError
from nbformat import NotebookNode

COMMAND = [sys.executable, "-m", "ipykernel_launcher", "-f", "{connection_file}"]
LONGEST = 600  # s a cell may take
POLL = 0.2  # s between looks at a kernel that is to end
TAIL = 2000  # characters of a dead kernel's last words

CellDone = Callable[[int, int], None]  # how many cells are done, of how many


class WorkbookError(RuntimeError):
    """A workbook that did not run to its end; the text says which cell, and why."""


class _ThisPython(KernelSpecManager):
    def get_kernel_spec(self, kernel_name: str) -> KernelSpec:
        """Return the kernel of this interpreter under any name."""
        return KernelSpec(argv=COMMAND, display_name="Python 3", language="python")


def execute(book: NotebookNode, folder: Path, done: CellDone = lambda done, total: None) -> None:
    """Execute a workbook in place, with `folder` as its working folder.

    Widget state, five megabytes a figure that no reader shows, is not kept. Raises
    WorkbookError; an interruption stops the kernel and goes on its way.
    """
    total = len(book.cells)
    with tempfile.TemporaryFile("w+", encoding="utf-8", errors="replace") as complaints:
        manager = AsyncKernelManager(kernel_spec_manager=_ThisPython())
        client = NotebookClient(
            book,
            km=manager,
            timeout=LONGEST,
            store_widget_state=False,
            record_timing=False,
            resources={"metadata": {"path": str(folder)}},
            on_cell_complete=lambda cell, cell_index: done(cell_index + 1, total),
        )
        try:
            _run(client, manager, complaints)
        except CellExecutionError as problem:
            raise WorkbookError(f"a cell failed: {problem.ename}: {problem.evalue}") from problem
        except DeadKernelError as problem:
            complaints.seek(0)
            raise WorkbookError(f"the kernel died: {complaints.read()[-TAIL:]}") from problem


def _run(client: NotebookClient, manager: AsyncKernelManager, complaints: IO[str]) -> None:
    """Run a client in a thread of its own, where it leaves the handling of signals to us.

    The kernel's own words at its start (it listens without encryption, on this machine only)
    are nobody's concern unless it dies: they go to `complaints`.
    """
    with ThreadPoolExecutor(1) as thread:
        work = client.async_execute(cleanup_kc=True, stderr=complaints)
        running = thread.submit(asyncio.run, work)
        try:
            running.result()
        except KeyboardInterrupt:
            while not running.done():
                _kill(manager)
                wait([running], POLL)
            raise


def _kill(manager: AsyncKernelManager) -> None:
    """Kill the kernel's process, if it has come so far as to have one."""
    number = getattr(manager.provisioner, "pid", None)
    if number is not None:
        with suppress(OSError):  # it is gone
            os.kill(number, signal.SIGTERM)
