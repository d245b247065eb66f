"""Files are whole, the old or the new one, whatever happens while they are written."""

from __future__ import annotations

import os
import stat
import subprocess
import sys

import pytest

from mplan import writing

posix = pytest.mark.skipif(os.name == "nt", reason="no such signals, modes and limits here")
KILLS = 200
# A child saves files of 200 kB of one letter in a loop, is killed, and the file is looked at.
KILLED_AT_ANY_MOMENT = """
import itertools, os, pathlib, random, signal, sys, time
from mplan import writing
target, kills = pathlib.Path(sys.argv[1]), int(sys.argv[2])
chance, during = random.Random(1), 0
for _ in range(kills):
    child = os.fork()
    if not child:
        for letter in itertools.cycle("abcdefgh"):
            writing.write(target, letter * 200_000)
    time.sleep(chance.uniform(0.0, 0.02))
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    text = target.read_text()
    assert len(text) == 200_000 and len(set(text)) == 1, (len(text), set(text))
    left = [path for path in target.parent.iterdir() if path != target]
    during += bool(left)
    for path in left:
        path.unlink()
print(during)
"""


@posix
def test_whole_after_a_kill_at_any_moment(tmp_path):
    """A process that saves in a loop is killed 200 times: each time the file is a whole one."""
    target = tmp_path / "plan.json"
    target.write_text("a" * 200_000)
    run = [sys.executable, "-c", KILLED_AT_ANY_MOMENT, str(target), str(KILLS)]
    done = subprocess.run(run, capture_output=True, text=True)
    assert done.stderr == ""
    assert int(done.stdout) > KILLS // 10, "kills must fall into the writing to prove anything"


FILLS_THE_DISK = """
import resource, sys
from mplan import writing
resource.setrlimit(resource.RLIMIT_FSIZE, (1000, 1000))
try:
    writing.write(sys.argv[1], "b" * 2000)
except OSError as problem:
    print(problem.filename, problem.strerror)
"""


@posix
def test_no_room_leaves_the_old_one(tmp_path):
    """Where the content does not fit: one message that names the file, and nothing new left."""
    target = tmp_path / "plan.json"
    target.write_text("old")
    run = [sys.executable, "-c", FILLS_THE_DISK, str(target)]
    said = subprocess.run(run, capture_output=True, text=True, check=True).stdout
    assert said == f"{target} File too large\n"
    assert target.read_text() == "old"
    assert list(tmp_path.iterdir()) == [target]


def _interrupted(making):
    with making as beside:
        (beside / "page" if beside.is_dir() else beside).write_text("ne")
        raise KeyboardInterrupt


def test_an_interruption_leaves_the_old_one(tmp_path):
    target = tmp_path / "plan.json"
    target.write_text("old")
    with pytest.raises(KeyboardInterrupt):
        _interrupted(writing.replacing(target))
    assert target.read_text() == "old"
    assert list(tmp_path.iterdir()) == [target]


@posix
@pytest.mark.parametrize("mask", [0o022, 0o077, 0o002])
def test_others_may_read_as_the_umask_says(tmp_path, mask):
    before = os.umask(mask)
    try:
        writing.write(tmp_path / "plan.json", "new")
        with writing.replacing_folder(tmp_path / "report") as beside:
            (beside / "page").write_text("new")
    finally:
        os.umask(before)
    assert stat.S_IMODE((tmp_path / "plan.json").stat().st_mode) == 0o666 & ~mask
    assert stat.S_IMODE((tmp_path / "report").stat().st_mode) == 0o777 & ~mask


@posix
def test_a_file_keeps_its_mode_and_a_link_its_place(tmp_path):
    target, link = tmp_path / "plan.json", tmp_path / "link.json"
    target.write_text("old")
    target.chmod(0o640)
    link.symlink_to(target)
    writing.write(link, "new")
    assert link.is_symlink()
    assert target.read_text() == "new"
    assert stat.S_IMODE(target.stat().st_mode) == 0o640


@posix
def test_a_device_is_written_to_and_stays_one():
    writing.write("/dev/null", "new")
    assert stat.S_ISCHR(os.stat("/dev/null").st_mode)


@pytest.mark.parametrize("place", ["nowhere/plan.json", "."])
def test_a_failure_names_what_was_asked_for(tmp_path, place):
    with pytest.raises(OSError, match=r"No such file|is a folder") as problem:
        writing.write(tmp_path / place, "new")
    assert problem.value.filename == str(tmp_path / place)


def test_a_long_name_is_no_hindrance(tmp_path):
    """The name beside is no longer than file systems take."""
    target = tmp_path / f"{'n' * 250}.json"
    writing.write(target, "new")
    assert target.read_text() == "new"


def test_a_folder_comes_whole(tmp_path):
    """Nothing of it is there before the end, nor after an error."""
    target = tmp_path / "report"
    with pytest.raises(KeyboardInterrupt):
        _interrupted(writing.replacing_folder(target))
    assert list(tmp_path.iterdir()) == []
    with writing.replacing_folder(target) as beside:
        (beside / "page").write_text("new")
        assert not target.exists()
    assert [path.name for path in tmp_path.rglob("*")] == ["report", "page"]


def test_into_a_folder_that_is_there_the_page_comes_last(tmp_path, monkeypatch):
    """What else lies there stays; where a move fails, the page is the old one still."""
    target = tmp_path / "report"
    target.mkdir()
    for name in ("a-page", "mine", "z-table"):
        (target / name).write_text("old")
    moved = []
    monkeypatch.setattr(
        writing.os, "replace", lambda a, b, really=os.replace: (moved.append(b.name), really(a, b))
    )
    with writing.replacing_folder(target, last="a-page") as beside:
        for name in ("a-page", "z-table"):
            (beside / name).write_text("new")
    assert moved == ["z-table", "a-page"]
    assert (target / "mine").read_text() == "old"
    assert {path.name for path in target.iterdir()} == {"a-page", "mine", "z-table"}
