"""Keeping compiled integrators between runs: a folder per user, trusted only when it is ours.

Unpickling runs code, so a file is read only if it belongs to this user, nobody else may write
it, and its first line is the fingerprint of this machine, these versions, the source that
built it, and the very bytes that follow. Anything else is built anew and written over.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import pickle
import platform
import sys
import tempfile
from collections.abc import Callable
from functools import cache
from importlib.metadata import version
from pathlib import Path
from typing import Any

from mplan.physics import constants


def load_integrator(name: str, source: Path, build: Callable[[], Any]) -> Any:
    """Return the object kept under `name`, or `build()` and keep it.

    `source` is the file whose text decides what is built: an edit there makes the kept one
    foreign. A folder that cannot be written costs only the time to build.
    """
    file = cache_folder() / f"{name.replace(' ', '-')}.bin"
    stamp = fingerprint(name, source)
    kept = _read(file, stamp)
    if kept is not None:
        return kept
    built = build()
    with contextlib.suppress(OSError):
        _write(file, stamp, pickle.dumps(built))
    return built


def cache_folder() -> Path:
    """Return where compiled integrators are kept (`MPLAN_CACHE` moves it)."""
    from platformdirs import user_cache_path

    return Path(os.environ.get("MPLAN_CACHE") or user_cache_path("mplan")) / "integrators"


def fingerprint(name: str, source: Path) -> str:
    """Return what must be the same for a kept integrator to run here unchanged.

    The constants count as source too: their values are compiled in.
    """
    texts = [file.read_text("utf-8") for file in (source, Path(constants.__file__))]
    parts = (name, _machine(), sys.version, version("heyoka"), *texts)
    return hashlib.sha256("\0".join(parts).encode()).hexdigest()


@cache
def _machine() -> str:
    """Return what names this processor: the code is compiled for its instruction set."""
    flags = ""
    with contextlib.suppress(OSError):
        lines = Path("/proc/cpuinfo").read_text("utf-8").splitlines()
        flags = "\n".join(x for x in lines if x.startswith(("model name", "flags", "Features")))
    return "\0".join((platform.node(), platform.machine(), platform.platform(), flags))


def _read(file: Path, stamp: str) -> Any | None:
    try:
        if not _ours(file):
            return None
        head, _, body = file.read_bytes().partition(b"\n")
        if head.decode("ascii") != f"{stamp} {hashlib.sha256(body).hexdigest()}":
            return None
        return pickle.loads(body)
    except Exception:  # damaged in whatever way: the one answer is to build it again
        return None


def _ours(file: Path) -> bool:
    """Tell whether this user alone can have written `file` and its folder."""
    if not hasattr(os, "getuid"):
        return True  # no such owners here; the fingerprint must do
    return all(
        facts.st_uid == os.getuid() and not facts.st_mode & 0o022
        for facts in (file.stat(), file.parent.stat())
    )


def _write(file: Path, stamp: str, body: bytes) -> None:
    file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    handle, beside = tempfile.mkstemp(dir=file.parent)
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(f"{stamp} {hashlib.sha256(body).hexdigest()}\n".encode() + body)
        os.replace(beside, file)
    except BaseException:
        os.unlink(beside)
        raise
