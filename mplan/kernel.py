"""Executing workbooks in kernels that run this very Python, whatever else is installed.

A kernel takes one workbook after another, each with names of its own: imports, compiled code and
remembered flights are paid for once a kernel.
"""

from __future__ import annotations

import asyncio
import os
import signal
import sys
import tempfile
from collections import deque
from collections.abc import Callable, Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor, wait
from contextlib import suppress
from itertools import count
from pathlib import Path
from typing import IO, NamedTuple

from jupyter_client import AsyncKernelManager
from jupyter_client.kernelspec import KernelSpec, KernelSpecManager
from nbclient import NotebookClient
from nbclient.exceptions import DeadKernelError
from nbformat import NotebookNode

COMMAND = [sys.executable, "-m", "ipykernel_launcher", "-f", "{connection_file}"]
KERNELS = 2  # side by side: a laptop has that many cores to spare
LONGEST = 600  # s a cell may take
POLL = 0.2  # s between looks at kernels that are to end
TAIL = 2000  # characters of a dead kernel's last words
AFRESH = """
import sys
if "ipywidgets" in sys.modules:
    sys.modules["ipywidgets"].Widget.close_all()
get_ipython().reset(new_session=True)
get_ipython().user_module.__spec__ = None  # processes that it starts ask for it
"""  # what a kernel forgets before the next workbook

CellDone = Callable[[int, int, str], None]  # how many cells are begun, of how many, in which book
Books = Mapping[str, NotebookNode]


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


def execute_all(
    books: Books,
    folder: Path,
    done: CellDone = lambda done, total, name: None,
    *,
    skip: str = "",
    kernels: int = KERNELS,
) -> dict[str, tuple[str, ...]]:
    """Execute workbooks in place, with `folder` as working folder; return what failed, by name.

    Cells with the tag `skip` are not executed. A cell that fails, or takes longer than `LONGEST`,
    leaves its error as its output, and the cells after it are executed all the same. A kernel that
    dies ends its workbook; the next one gets another. Widget state, five megabytes a figure that no
    reader shows, is not kept. An interruption stops the kernels and goes on its way.
    """
    work = _Work(books, folder, done, skip)
    with ThreadPoolExecutor(1) as thread:  # signals are handled here, and not in there
        running = thread.submit(asyncio.run, work.by(min(kernels, len(books))))
        try:
            running.result()
        except KeyboardInterrupt:
            work.stop()
            while not running.done():
                work.kill()
                wait([running], POLL)
            raise
    return {name: work.failed[name] for name in books}


def failed_cells(book: NotebookNode) -> Iterator[FailedCell]:
    """Yield the cells of an executed workbook that have an error among their outputs."""
    code = [cell for cell in book.cells if cell.cell_type == "code"]
    for number, cell in enumerate(code, 1):
        for output in cell.outputs:
            if output.output_type == "error":
                said = f"{output.ename}: {output.evalue}".strip().splitlines()
                yield FailedCell(number, cell.id, said[0])


class _Work:
    """Workbooks that wait for a kernel, and what failed in those that had one."""

    def __init__(self, books: Books, folder: Path, done: CellDone, skip: str) -> None:
        self.failed: dict[str, tuple[str, ...]] = {}
        self._waiting = deque(books.items())
        self._folder, self._done, self._skip = folder, done, skip
        self._cells, self._total = count(1), sum(len(book.cells) for book in books.values())
        self._managers: list[AsyncKernelManager] = []

    async def by(self, kernels: int) -> None:
        """Execute everything that waits, in so many kernels side by side."""
        await asyncio.gather(*(self._one_after_another() for _ in range(kernels)))

    def stop(self) -> None:
        """Let nothing begin any more."""
        self._waiting.clear()

    def kill(self) -> None:
        """Kill the processes of the kernels, those that have come so far as to have one."""
        for manager in self._managers:
            number = getattr(manager.provisioner, "pid", None)
            if number is not None:
                with suppress(OSError):  # it is gone
                    os.kill(number, signal.SIGTERM)

    async def _one_after_another(self) -> None:
        """Execute what waits in one kernel as long as it lives, then in another one.

        A kernel's own words at its start (it listens without encryption, on this machine only) are
        nobody's concern unless it dies: they go to `complaints`.
        """
        while self._waiting:
            manager = AsyncKernelManager(kernel_spec_manager=_ThisPython())
            self._managers.append(manager)
            with tempfile.TemporaryFile("w+", encoding="utf-8", errors="replace") as complaints:
                try:
                    await self._in(manager, complaints)
                finally:
                    await _end(manager)

    async def _in(self, manager: AsyncKernelManager, complaints: IO[str]) -> None:
        """Execute what waits in a kernel, until nothing does or the kernel dies."""
        while self._waiting:
            name, book = self._waiting.popleft()
            client = self._client(name, book, manager)
            try:
                await client.async_execute(stderr=complaints, cleanup_kc=False)
                await _afresh(client)
            except DeadKernelError:
                complaints.seek(0)
                self.failed[name] = (f"the kernel died: {complaints.read()[-TAIL:]}",)
                return
            finally:
                if client.kc is not None:
                    client.kc.stop_channels()
            self.failed[name] = tuple(map(str, failed_cells(book)))

    def _client(self, name: str, book: NotebookNode, manager: AsyncKernelManager) -> NotebookClient:
        return NotebookClient(
            book,
            km=manager,
            timeout=LONGEST,
            interrupt_on_timeout=True,
            allow_errors=True,
            store_widget_state=False,
            record_timing=False,
            skip_cells_with_tag=self._skip,
            resources={"metadata": {"path": str(self._folder)}},
            on_cell_start=lambda cell, cell_index: self._begun(name),
        )

    def _begun(self, name: str) -> None:
        self._done(next(self._cells), self._total, name)


async def _afresh(client: NotebookClient) -> None:
    """Let a kernel forget the names and widgets of a workbook."""
    if client.kc is None:
        raise RuntimeError("the workbook left no client")
    asked = client.kc.execute(AFRESH, silent=True, store_history=False)
    await client.async_wait_for_reply(asked)


async def _end(manager: AsyncKernelManager) -> None:
    if await manager.is_alive():
        await manager.shutdown_kernel()
    await manager.cleanup_resources()
