"""Files written whole or not at all: whatever happens meanwhile, the old one stays as it was.

The new content goes into a file beside the target, reaches the disk, and is then renamed over it,
which a file system does in one step. A process that is killed outright can leave that file
behind (`.NAME.….new`); the target is the old or the new one, never a part.
"""

from __future__ import annotations

import errno
import os
import secrets
import shutil
import stat
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

NAME = 40  # characters of the target's name in that of the file beside it: names have limits


def write(path: str | os.PathLike[str], content: str | bytes) -> None:
    """Write a file; text as UTF-8, its line ends as they are.

    A file that is there keeps its mode; a new one may be read by others as the umask says. Raises
    OSError, with `path` as its file name. What is no file, such as a pipe or a terminal, is
    written to.
    """
    raw = content.encode("utf-8") if isinstance(content, str) else content
    if _is_stream(path):
        with _named(path), open(path, "wb") as out:
            out.write(raw)
        return
    with replacing(path) as beside, _named(path):
        beside.write_bytes(raw)


@contextmanager
def replacing(path: str | os.PathLike[str], mode: int | None = None) -> Iterator[Path]:
    """Yield an empty file beside `path`, to be filled; it takes its place if all goes well.

    It has `mode`, where one is given, whatever the file that was there had.
    """
    target = Path(os.path.realpath(path))
    with _named(path):
        _refuse_protected(target)
        beside = _beside(target)
        os.close(os.open(beside, os.O_CREAT | os.O_EXCL | os.O_WRONLY, mode or 0o666))
    try:
        yield beside
        with _named(path):
            if mode is None and target.exists():
                shutil.copymode(target, beside)
            _to_disk(beside)
            os.replace(beside, target)
            _to_disk(target.parent)
    finally:
        beside.unlink(missing_ok=True)


@contextmanager
def replacing_folder(path: str | os.PathLike[str], last: str = "") -> Iterator[Path]:
    """Yield an empty folder beside `path`, to be filled; its files take their places at the end.

    Where `path` is not there yet, the folder is renamed in one step. Into a folder that is there
    every file is moved by itself, over one of its name, and the one called `last` after all
    others: no file system moves many at once. All else in there is left alone.
    """
    target = Path(os.path.realpath(path))
    with _named(path):
        if target.exists() and not target.is_dir():
            raise NotADirectoryError(errno.ENOTDIR, "is there already, and is no folder")
        target.parent.mkdir(parents=True, exist_ok=True)
        beside = _beside(target)
        beside.mkdir()
    try:
        yield beside
        with _named(path):
            for file in beside.rglob("*"):
                _to_disk(file)
            if target.exists():
                _move_each(beside, target, last)
            else:
                os.rename(beside, target)
            _to_disk(target.parent)
    finally:
        shutil.rmtree(beside, ignore_errors=True)


def _move_each(beside: Path, target: Path, last: str) -> None:
    files = (path for path in beside.rglob("*") if path.is_file())
    for file in sorted(files, key=lambda path: (path.name == last, path)):
        place = target / file.relative_to(beside)
        place.parent.mkdir(parents=True, exist_ok=True)
        os.replace(file, place)


def _beside(target: Path) -> Path:
    return target.with_name(f".{target.name[:NAME]}.{secrets.token_hex(6)}.new")


def _is_stream(path: str | os.PathLike[str]) -> bool:
    try:
        mode = os.stat(path).st_mode
    except OSError:
        return False
    return not stat.S_ISREG(mode) and not stat.S_ISDIR(mode)


def _refuse_protected(target: Path) -> None:
    """Raise OSError for a folder, and for a file that may not be written: a rename would do it."""
    if target.is_dir():
        raise IsADirectoryError(errno.EISDIR, "is a folder")
    if target.exists() and not os.access(target, os.W_OK):
        raise PermissionError(errno.EACCES, "is protected from being written")


def _to_disk(path: Path) -> None:
    """Have what was written reach the disk; folders too, where the system can."""
    if path.is_dir():
        with suppress(OSError):
            _sync(path, os.O_RDONLY)
    else:
        _sync(path, os.O_RDWR)


def _sync(path: Path, how: int) -> None:
    handle = os.open(path, how)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


@contextmanager
def _named(path: str | os.PathLike[str]) -> Iterator[None]:
    """Let an OSError name the file that was asked for, not the one beside it."""
    try:
        yield
    except OSError as problem:
        text = problem.strerror or str(problem)
        raise OSError(problem.errno or errno.EIO, text, os.fspath(path)) from None
