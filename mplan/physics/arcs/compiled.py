"""Keeping what is compiled between runs: a folder per user, trusted only when it is ours.

Unpickling runs code, so a file is read, and written, only in a folder that belongs to this user
and is closed to all others. It must belong to the user itself, be no link, and its first line
must be the fingerprint of this machine, these versions, the source that built it, and the very
bytes that follow. Anything else is built anew and written over.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import pickle
import platform
import stat
import sys
from collections.abc import Callable, Iterable
from functools import cache
from pathlib import Path
from types import FunctionType
from typing import Any

from mplan import writing
from mplan.physics import constants

PHYSICS = Path(constants.__file__).parent
OWNERS = hasattr(os, "getuid")  # whether files have any here
# Neither through a link, nor waiting for somebody to write to a pipe.
READING = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
READING |= getattr(os, "O_BINARY", 0)


def load_integrator(name: str, sources: Iterable[Path], build: Callable[[], Any]) -> Any:
    """Return the object kept under `name`, or `build()` and keep it.

    `sources` are the files whose text decides what is built: an edit there makes the kept one
    foreign. A folder that cannot be written costs only the time to build.
    """
    file, stamp = _place(name, sources)
    kept = read(file, stamp)
    if kept is not None:
        return kept
    built = build()
    with contextlib.suppress(OSError):
        write(file, stamp, pickle.dumps(built))
    return built


def keeps_integrator(name: str, sources: Iterable[Path]) -> bool:
    """Return whether `load_integrator` would find the object kept; it is not read."""
    return is_kept(*_place(name, sources))


def _place(name: str, sources: Iterable[Path]) -> tuple[Path, str]:
    """Return the file that an integrator is kept in, and the stamp that it must have there."""
    return _file(name.replace(" ", "-")), fingerprint(name, sources)


def cache_folder() -> Path:
    """Return where compiled integrators are kept (`MPLAN_CACHE` moves it)."""
    from platformdirs import user_cache_path

    return Path(os.environ.get("MPLAN_CACHE") or user_cache_path("mplan")) / "integrators"


def fingerprint(name: str, sources: Iterable[Path], library: str = "heyoka") -> str:
    """Return what must be the same for what a `library` has compiled to run here unchanged.

    The constants count as source too: their values are compiled in.
    """
    texts = [file.read_text("utf-8") for file in (*sources, Path(constants.__file__))]
    parts = (name, _machine(), sys.version, _version(library), *texts)
    return hashlib.sha256("\0".join(parts).encode()).hexdigest()


def functions_stamp() -> str:
    """Return the fingerprint of the functions that Numba compiles: of all that physics is."""
    return fingerprint("functions", sorted(PHYSICS.rglob("*.py")), "numba")


def function_file(function: FunctionType) -> Path:
    """Return where a compiled function is kept."""
    return _file(f"{function.__module__.removeprefix('mplan.physics.')}.{function.__qualname__}")


def _file(name: str) -> Path:
    """Return the file of a name, one for each Python, which would not run what another compiled."""
    return cache_folder() / f"{name}.{sys.implementation.cache_tag}.bin"


def is_kept(file: Path, stamp: str) -> bool:
    """Return whether something is kept in a file under a `stamp`; it is not read."""
    try:
        return _own_bytes(file).startswith(stamp.encode())
    except OSError:
        return False


def _version(library: str) -> str:
    """Return the version of a library, from itself if it is there."""
    if library in sys.modules:
        return str(sys.modules[library].__version__)
    from importlib.metadata import version  # takes as long to bring in as ten of our modules

    return version(library)


@cache
def _machine() -> str:
    """Return what names this processor: the code is compiled for its instruction set."""
    flags = ""
    with contextlib.suppress(OSError):
        lines = Path("/proc/cpuinfo").read_text("utf-8").splitlines()
        flags = "\n".join(x for x in lines if x.startswith(("model name", "flags", "Features")))
    return "\0".join((platform.node(), platform.machine(), platform.platform(), flags))


def read(file: Path, stamp: str) -> Any | None:
    """Return what was kept in a file under a `stamp`, or None if that is not to be trusted."""
    try:
        _require_closed(file.parent)
        head, _, body = _own_bytes(file).partition(b"\n")
        if head.decode("ascii") != f"{stamp} {hashlib.sha256(body).hexdigest()}":
            return None
        return pickle.loads(body)
    except Exception:  # damaged in whatever way: the one answer is to build it again
        return None


def _require_closed(folder: Path) -> None:
    """Raise OSError unless `folder` is this user's and closed to all others; links do not count."""
    facts = folder.lstat()
    if not stat.S_ISDIR(facts.st_mode) or not _ours(facts):
        raise PermissionError(f"{folder} is open to others")
    if OWNERS and facts.st_mode & 0o077:
        folder.chmod(0o700)  # others could read there, not write


def _own_bytes(file: Path) -> bytes:
    """Return the bytes of a file that this user alone can have written."""
    with os.fdopen(os.open(file, READING), "rb") as kept:
        facts = os.fstat(kept.fileno())
        if not stat.S_ISREG(facts.st_mode) or not _ours(facts):
            raise PermissionError(f"{file} may be another's")
        return kept.read()


def _ours(facts: os.stat_result) -> bool:
    """Tell whether a file or folder belongs to this user and nobody else may write it."""
    if not OWNERS:
        return True  # no such owners here; the fingerprint must do
    return facts.st_uid == os.getuid() and not facts.st_mode & 0o022


def write(file: Path, stamp: str, body: bytes) -> None:
    """Keep pickled bytes in a file under a `stamp`; OSError where that cannot be."""
    file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    _require_closed(file.parent)
    head = f"{stamp} {hashlib.sha256(body).hexdigest()}\n"
    with writing.replacing(file, mode=0o600) as beside:
        beside.write_bytes(head.encode() + body)
