"""The float loops at compiled speed: the readable functions themselves, compiled by Numba.

There is one source. A function marked `source` is called by others, one marked `entry` from
outside; until the compiled ones are there, and where there is no Numba, both run as written.
Compiled without `fastmath` they do the same operations in the same order on the same doubles, and
call the same mathematical library: tests hold them to equal digits.

Measured before choosing, 400 s above the air (`tests/bench/test_stretch_speed.py`): 490 us as
written, 48 us compiled, 7 us by heyoka and 8 us for four at once. Heyoka is quicker where the
motion is smooth; it would be a second formulation, without tables of air, throttled engines and
tanks that run dry, and there is none for the older Python. So Numba: one source for all of it.

What is compiled is kept in the user's cache folder, under the conditions that hold for integrators
(`arcs.compiled`). A first plan does not wait for what is to be compiled: who flies
often says `start`, and who flies some dozen entries and climbs `load_kept`, a quarter of a second.
"""

from __future__ import annotations

import atexit
import importlib
import os
import subprocess
import sys
import threading
from array import array
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from functools import update_wrapper
from time import sleep
from types import FunctionType
from typing import Any, TypeVar, cast

from mplan.physics.arcs import compiled as kept_files

F = TypeVar("F", bound=Callable[..., Any])
Table = array  # of floats: quick to read as written, and compiled

# Modules with entries; they bring in the modules of the sources that they call.
MODULES = (
    "mplan.physics.burns.aimed_burn",
    "mplan.physics.burns.finite_burn",
    "mplan.physics.burns.linear_tangent",
    "mplan.physics.burns.tangent_targets",
    "mplan.physics.climb.fall",
    "mplan.physics.climb.stretch",
    "mplan.physics.climb.track",
    "mplan.physics.entry.entry_flight",
    "mplan.physics.entry.parachutes",
    "mplan.physics.landing.approach",
    "mplan.physics.landing.track",
    "mplan.physics.twobody",
)
MAKE = "from mplan.physics import compiling; compiling.load_for_another()"
LOOKS = 2.0  # s between looks whether another process has them kept: a look takes 0.01 s
YIELDS = 10  # of 19 steps of niceness (POSIX), for who compiles beside a user

_sources: list[FunctionType] = []
_entries: list[_Entry] = []
_loading = threading.Lock()
_making: list[subprocess.Popen[bytes]] = []


class _Entry:
    """A function that runs as written until it is there compiled."""

    def __init__(self, written: FunctionType) -> None:
        self.written = written
        self.runs: Callable[..., Any] = written
        self.quick: Callable[..., Any] | None = None  # once it is there
        self.refused = 0  # calls with what it is not compiled for
        update_wrapper(self, written)

    def __call__(self, *args: Any) -> Any:  # noqa: ANN401 (as the function has it)
        try:
            return self.runs(*args)
        except TypeError:
            if self.runs is self.written:
                raise
        self.refused += 1
        return self.written(*args)


def source(function: F) -> F:
    """Mark a function of floats, tuples, tables and arrays that entries call."""
    _sources.append(cast(FunctionType, function))
    return function


def entry(function: F) -> F:
    """Mark a function that is called from outside, by position; its annotations are its types."""
    found = _Entry(cast(FunctionType, function))
    _entries.append(found)
    return cast(F, found)


def table(values: Iterable[float]) -> Table:
    """Return numbers as a table that both the written and the compiled functions read."""
    return array("d", values)


def start() -> None:
    """Load the compiled functions beside the work: for what flies often.

    What is not kept yet is compiled by a process of its own, in a minute at most; it ends with
    this one.
    """
    if not compiled():
        threading.Thread(target=_start, name="compiling", daemon=True).start()


def start_once_kept() -> None:
    """Load the compiled functions beside the work, once another process has them kept."""
    if not compiled():
        threading.Thread(target=_start_once_kept, name="compiling", daemon=True).start()


def keep() -> None:
    """See beside the work that the functions are kept compiled: for who has others fly.

    What is not kept is compiled as by `start`; nothing is loaded.
    """
    threading.Thread(target=_keep, name="compiling", daemon=True).start()


def compiled() -> bool:
    """Return whether the functions run compiled."""
    return bool(_entries) and all(each.runs is not each.written for each in _entries)


def load() -> bool:
    """Load all functions, or compile what is not kept, and return whether they are there."""
    with _loading:
        try:
            return _load()
        except Exception:  # no Numba, or one that cannot: the same answers, only slower
            return False


def load_kept() -> bool:
    """Load all functions if they are kept compiled, and return whether they are there."""
    with _loading:
        try:
            return _kept() and _load(only_kept=True)
        except Exception:  # as in `load`
            return False


def load_for_another() -> None:
    """Do as `load`, in a process that ends with the one that holds the other end of its input."""
    threading.Thread(target=_end_with_input, daemon=True).start()
    load()


def _end_with_input() -> None:
    """End this process once its input does: who started it was killed outright, and told nobody."""
    os.read(0, 1)
    os._exit(1)


def _start() -> None:
    with _loading:
        try:
            if not _load(only_kept=True):
                _make()
                _load(only_kept=True)
        except Exception:  # as in `load`
            return


def _start_once_kept() -> None:
    try:
        while not _kept():
            sleep(LOOKS)
        with _loading:
            _load(only_kept=True)
    except Exception:  # as in `load`
        return


def _keep() -> None:
    with _loading:
        try:
            if not _kept():
                _make()
        except Exception:  # as in `load`
            return


def _kept() -> bool:
    """Return whether all functions are kept compiled; none is loaded."""
    _bring_modules()
    stamp = kept_files.functions_stamp()
    files = [kept_files.function_file(each.written) for each in _entries]
    return all(kept_files.is_kept(file, stamp) for file in files)


def _bring_modules() -> None:
    for name in MODULES:
        importlib.import_module(name)


def _load(*, only_kept: bool = False) -> bool:
    _bring_modules()
    if not all(each.quick for each in _entries) and not _brought(only_kept):
        return False
    for each in _entries:
        each.runs = each.quick or each.written
    return True


def _brought(only_kept: bool) -> bool:
    """Bring in the compiled functions, and return whether they are there."""
    from mplan.physics import numba_bridge

    entries = [each.written for each in _entries]
    try:
        found = list(numba_bridge.compile_all(_sources, entries, only_kept=only_kept))
    except KeyError:  # one is not kept
        return False
    for each, quick in zip(_entries, found, strict=True):
        each.quick = quick
    return True


def _make() -> None:
    """Compile and keep all functions in a process of its own; what it says is nobody's business."""
    quiet = subprocess.DEVNULL
    command = [sys.executable, "-c", MAKE]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=quiet, stderr=quiet) as p:
        _making.append(p)
        if hasattr(os, "setpriority"):
            os.setpriority(os.PRIO_PROCESS, p.pid, YIELDS)
        p.wait()


@contextmanager
def as_written() -> Iterator[None]:
    """Run the functions as written, whatever is there: to hold the compiled ones against them."""
    before = [each.runs for each in _entries]
    forget()
    try:
        yield
    finally:
        for each, runs in zip(_entries, before, strict=True):
            each.runs = runs


def forget() -> None:
    """Run all functions as written again."""
    for each in _entries:
        each.runs = each.written


def refused() -> int:
    """Return how many calls were of other types than functions are compiled for, and ran slowly."""
    return sum(each.refused for each in _entries)


@atexit.register
def _stop() -> None:
    """End what compiles beside this process, and let what is being loaded be loaded."""
    for each in _making:
        each.kill()
    with _loading:
        pass
