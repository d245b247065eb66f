"""Executing a workbook in a kernel that runs this very Python, whatever else is installed."""

from __future__ import annotations

import asyncio
import os
import signal
import sys
import tempfile
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor, wait
from contextlib import suppress
from pathlib import Path
from typing import IO, NamedTuple

from jupyter_client import AsyncKernelManager
from jupyter_client.kernelspec import KernelSpec, KernelSpecManager
from nbclient import NotebookClient
from nbclient.exceptions import DeadKernelError
from nbformat import NotebookNode

COMMAND = [sys.executable, "-m", "ipykernel_launcher", "-f", "{connection_file}"]
LONGEST = 600  # s a cell may take
POLL = 0.2  # s between looks at a kernel that is to end
TAIL = 2000  # characters of a dead kernel's last words

CellDone = Callable[[int, int], None]  # how many cells are done, of how many


class WorkbookError(RuntimeError):
    """A workbook that did not run to its end: its kernel died; the text has its last words."""


class FailedCell(NamedTuple):
    """A cell that raised: its number among the code cells, its name, the error in one line."""

    number: int
    name: str
    error: str

    def __str__(self) -> str:
        """Return all three, as people read them."""
        return f"cell {self.number} ({self.name}): {self.error}"


class _ThisPython(KernelSpecManager):
    def get_kernel_spec(self, kernel_name: str) -> KernelSpec:
        """Return the kernel of this interpreter under any name."""
        return KernelSpec(argv=COMMAND, display_name="Python 3", language="python")


def execute(
    book: NotebookNode, folder: Path, done: CellDone = lambda done, total: None
) -> tuple[FailedCell, ...]:
    """Execute a workbook in place, with `folder` as its working folder; return cells that failed.

    A cell that fails, or takes longer than `LONGEST`, leaves its error as its output, and the
    cells after it are executed all the same. Widget state, five megabytes a figure that no reader
    shows, is not kept. Raises WorkbookError; an interruption stops the kernel and goes on its way.
    """
    total = len(book.cells)
    with tempfile.TemporaryFile("w+", encoding="utf-8", errors="replace") as complaints:
        manager = AsyncKernelManager(kernel_spec_manager=_ThisPython())
        client = NotebookClient(
            book,
            km=manager,
            timeout=LONGEST,
            interrupt_on_timeout=True,
            allow_errors=True,
            store_widget_state=False,
            record_timing=False,
            resources={"metadata": {"path": str(folder)}},
            on_cell_complete=lambda cell, cell_index: done(cell_index + 1, total),
        )
        try:
            _run(client, manager, complaints)
        except DeadKernelError as problem:
            complaints.seek(0)
            raise WorkbookError(f"the kernel died: {complaints.read()[-TAIL:]}") from problem
    return tuple(failed_cells(book))


def failed_cells(book: NotebookNode) -> Iterator[FailedCell]:
    """Yield the cells of an executed workbook that have an error among their outputs."""
    code = [cell for cell in book.cells if cell.cell_type == "code"]
    for number, cell in enumerate(code, 1):
        for output in cell.outputs:
            if output.output_type == "error":
                said = f"{output.ename}: {output.evalue}".strip().splitlines()
                yield FailedCell(number, cell.id, said[0])


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
