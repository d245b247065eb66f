"""The folder of compiled integrators: used when sound, built anew otherwise, never trusted."""

import os
import pickle
import stat
import subprocess
import sys
import threading
import time
from pathlib import Path
from types import SimpleNamespace

import pytest

from mplan.physics import constants
from mplan.physics.arcs import compiled, nbody

posix = pytest.mark.skipif(not hasattr(os, "getuid"), reason="no owners and modes here")

TAG = sys.implementation.cache_tag  # of this Python, in the names of files


class Trap:
    """Leaves a mark where it is unpickled."""

    def __init__(self, mark):
        self.mark = mark

    def __reduce__(self):
        return (Path.write_text, (self.mark, "unpickled"))


class Shop:
    """Loads one integrator under a name and counts how often it had to be built."""

    name = "coast to nowhere"

    def __init__(self, folder):
        self.built = 0
        self.source = folder / "source.py"
        self.source.write_text("equations = 1\n")
        self.file = folder / "cache" / "integrators" / f"coast-to-nowhere.{TAG}.bin"
        self.mark = folder / "mark"

    def load(self):
        return compiled.load_integrator(self.name, [self.source], self.build)

    def build(self):
        self.built += 1
        return {"built": "here"}

    def put(self, payload, *, name=None):
        """Write a file as `load` would, round a payload of one's own."""
        self.file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        compiled.write(
            self.file, compiled.fingerprint(name or self.name, [self.source]), pickle.dumps(payload)
        )


@pytest.fixture
def shop(tmp_path, monkeypatch):
    monkeypatch.setenv("MPLAN_CACHE", str(tmp_path / "cache"))
    monkeypatch.setattr(compiled, "_version", lambda _: "1.0")  # the library need not be here
    return Shop(tmp_path)


def test_a_sound_file_is_used(shop):
    assert shop.load() == shop.load() == {"built": "here"}
    assert shop.built == 1
    assert shop.file.is_file()


def test_two_pythons_keep_beside_each_other(shop, monkeypatch):
    """Neither runs what the other has compiled, nor writes it over."""
    assert shop.load()
    with monkeypatch.context() as other:
        other.setattr(sys, "implementation", SimpleNamespace(cache_tag="cpython-other"))
        other.setattr(sys, "version", "another")
        assert shop.load()
    assert shop.built == 2
    assert shop.load()
    assert shop.built == 2


def test_the_trap_springs_when_it_is_trusted(shop):
    """So that the tests below mean something: a sound file round the trap is unpickled."""
    shop.put(Trap(shop.mark))
    shop.load()
    assert shop.mark.exists()


def rebuilt(shop):
    """Tell that the file was not unpickled, and that it is sound again afterwards."""
    assert shop.load() == {"built": "here"}
    assert shop.built == 1
    assert not shop.mark.exists()
    assert shop.load() == {"built": "here"}
    return shop.built == 1


def damage_truncated(file):
    file.write_bytes(file.read_bytes()[:-1])


def damage_flipped(file):
    body = bytearray(file.read_bytes())
    body[-10] ^= 1
    file.write_bytes(body)


def damage_flipped_in_the_head(file):
    body = bytearray(file.read_bytes())
    body[3] ^= 1
    file.write_bytes(body)


def damage_lengthened(file):
    file.write_bytes(file.read_bytes() + b".")


def damage_emptied(file):
    file.write_bytes(b"")


def damage_headless(file):
    file.write_bytes(file.read_bytes().partition(b"\n")[2])


def damage_not_text(file):
    file.write_bytes(b"\xff\xfe\n" + file.read_bytes())


@pytest.mark.parametrize(
    "damage",
    [
        damage_truncated,
        damage_flipped,
        damage_flipped_in_the_head,
        damage_lengthened,
        damage_emptied,
        damage_headless,
        damage_not_text,
    ],
)
def test_a_damaged_file_is_built_anew(shop, damage):
    shop.put(Trap(shop.mark))
    damage(shop.file)
    assert rebuilt(shop)


def test_a_file_under_another_name_is_foreign(shop):
    shop.put(Trap(shop.mark), name="coast to elsewhere")
    assert rebuilt(shop)


def test_an_edited_source_makes_it_foreign(shop):
    shop.put(Trap(shop.mark))
    shop.source.write_text("equations = 2\n")
    assert rebuilt(shop)


def test_edited_constants_make_it_foreign(shop, tmp_path, monkeypatch):
    """The constants are compiled into an integrator, so a changed one must not find the old."""
    shop.put(Trap(shop.mark))
    edited = tmp_path / "constants.py"
    edited.write_text(Path(constants.__file__).read_text("utf-8") + "# edited\n", "utf-8")
    monkeypatch.setattr(constants, "__file__", str(edited))
    assert rebuilt(shop)


@pytest.mark.parametrize(
    ("what", "other"), [("_version", lambda _: "2.0"), ("_machine", lambda: "another processor")]
)
def test_another_version_or_machine_is_foreign(shop, monkeypatch, what, other):
    shop.put(Trap(shop.mark))
    monkeypatch.setattr(compiled, what, other)
    assert rebuilt(shop)


@posix
@pytest.mark.parametrize("mode", [0o620, 0o602, 0o666])
def test_a_file_others_may_write_is_not_trusted(shop, mode):
    shop.put(Trap(shop.mark))
    shop.file.chmod(mode)
    assert rebuilt(shop)
    assert stat.S_IMODE(shop.file.stat().st_mode) == 0o600


@posix
@pytest.mark.parametrize("mode", [0o770, 0o707])
def test_a_folder_others_may_write_is_not_trusted(shop, mode):
    shop.put(Trap(shop.mark))
    shop.file.parent.chmod(mode)
    assert shop.load() == {"built": "here"}
    assert shop.load() == {"built": "here"}
    assert shop.built == 2  # and stays untrusted until its owner closes it
    assert not shop.mark.exists()


@posix
def test_a_folder_others_may_read_is_closed(shop):
    """One made by a more open hand is the user's own still."""
    shop.load()
    shop.file.parent.chmod(0o755)
    shop.load()
    assert shop.built == 1
    assert stat.S_IMODE(shop.file.parent.stat().st_mode) == 0o700


@posix
@pytest.mark.parametrize("mode", [0o770, 0o707, 0o777])
def test_nothing_is_written_where_others_may_write(shop, mode):
    shop.file.parent.mkdir(parents=True)
    shop.file.parent.chmod(mode)
    assert shop.load() == {"built": "here"}
    assert list(shop.file.parent.iterdir()) == []


@posix
def test_a_link_is_not_followed(shop, tmp_path):
    """Neither a folder nor a file that leads elsewhere is used, nor is a pipe waited for."""
    shop.put(Trap(shop.mark))
    elsewhere = tmp_path / "elsewhere"
    shop.file.parent.rename(elsewhere)
    shop.file.parent.symlink_to(elsewhere)
    assert shop.load() == {"built": "here"}
    assert not shop.mark.exists()
    shop.file.parent.unlink()
    shop.file.parent.mkdir(mode=0o700)
    shop.file.symlink_to(elsewhere / shop.file.name)
    assert shop.load() == {"built": "here"}
    assert not shop.mark.exists()
    shop.file.unlink(missing_ok=True)
    os.mkfifo(shop.file, 0o600)
    assert shop.load() == {"built": "here"}


COLD_START = """
import os, sys, time
from pathlib import Path
from types import SimpleNamespace
from mplan.physics.arcs import compiled
compiled._version = lambda _: "1.0"
folder, go = Path(sys.argv[1]), Path(sys.argv[2])
(folder / f"ready{os.getpid()}").touch()
while not go.exists():
    time.sleep(0.001)
built = lambda: {"ballast": "x" * 1_000_000}
assert compiled.load_integrator("coast", [Path(compiled.__file__)], built) == built()
"""


def test_eight_cold_starts_at_once(tmp_path, monkeypatch):
    """Each gets its integrator, and one whole file is left."""
    monkeypatch.setenv("MPLAN_CACHE", str(tmp_path / "cache"))
    ready, go = tmp_path / "ready", tmp_path / "go"
    ready.mkdir()
    run = [sys.executable, "-c", COLD_START, str(ready), str(go)]
    starts = [subprocess.Popen(run, stderr=subprocess.PIPE) for _ in range(8)]
    while len(list(ready.iterdir())) < 8:
        assert all(each.poll() is None for each in starts)
        time.sleep(0.01)
    go.touch()
    assert [each.communicate()[1] for each in starts] == [b""] * 8
    assert [each.returncode for each in starts] == [0] * 8
    assert [x.name for x in (tmp_path / "cache" / "integrators").iterdir()] == [f"coast.{TAG}.bin"]
    monkeypatch.setattr(compiled, "_version", lambda _: "1.0")
    source = Path(compiled.__file__)
    kept = compiled.load_integrator("coast", [source], lambda: pytest.fail("the file is whole"))
    assert len(kept["ballast"]) == 1_000_000


@posix
def test_another_users_file_is_not_trusted(shop, monkeypatch):
    shop.put(Trap(shop.mark))
    me = os.getuid()
    monkeypatch.setattr(os, "getuid", lambda: me + 1)
    assert shop.load() == {"built": "here"}
    assert shop.built == 1
    assert not shop.mark.exists()


@posix
def test_what_is_written_is_private(shop):
    shop.load()
    assert stat.S_IMODE(shop.file.stat().st_mode) == 0o600
    assert stat.S_IMODE(shop.file.parent.stat().st_mode) & 0o077 == 0


def test_a_folder_that_cannot_be_made_costs_only_the_build(shop, tmp_path):
    (tmp_path / "cache").write_text("a file stands where the folder should be")
    assert shop.load() == shop.load() == {"built": "here"}
    assert shop.built == 2


def test_a_folder_that_cannot_be_written_costs_only_the_build(shop, monkeypatch):
    def refuse(*_, **__):
        raise PermissionError("read-only file system")

    monkeypatch.setattr(compiled.writing, "replacing", refuse)
    assert shop.load() == shop.load() == {"built": "here"}
    assert shop.built == 2
    assert not shop.file.exists()


def test_a_failed_write_leaves_nothing_behind(shop, monkeypatch):
    def refuse(*_):
        raise OSError(28, "no space left on device")

    monkeypatch.setattr(compiled.os, "replace", refuse)
    assert shop.load() == {"built": "here"}
    assert list(shop.file.parent.iterdir()) == []


def test_a_file_that_cannot_be_read_is_built_anew(shop):
    shop.file.mkdir(parents=True)  # reading it fails as a forbidden file's reading does
    assert shop.load() == {"built": "here"}
    assert shop.built == 1


def test_writers_at_the_same_time_leave_a_whole_file(shop):
    """Each writes beside the place and moves there in one step, so a reader sees all or nothing."""
    body = pickle.dumps({"built": "there", "ballast": "x" * 1_000_000})
    stamp = compiled.fingerprint(shop.name, [shop.source])
    seen, done = [], threading.Event()
    compiled.write(shop.file, stamp, body)

    def write():
        for _ in range(10):
            compiled.write(shop.file, stamp, body)

    def read():
        while not done.is_set():
            seen.append(compiled.read(shop.file, stamp))

    writers = [threading.Thread(target=write) for _ in range(4)]
    reader = threading.Thread(target=read)
    for thread in (reader, *writers):
        thread.start()
    for thread in writers:
        thread.join()
    done.set()
    reader.join()
    assert seen
    assert all(one is not None for one in seen)
    assert [file.name for file in shop.file.parent.iterdir()] == [shop.file.name]


@pytest.mark.skipif("heyoka" not in nbody.back_ends(), reason="heyoka does not install here")
def test_a_kept_integrator_flies_as_a_new_one(tmp_path, monkeypatch):
    """The real thing: built, kept, read back, and the arc is the same to the last bit."""
    import numpy as np

    from mplan.physics.arcs import nbody_heyoka

    monkeypatch.setenv("MPLAN_CACHE", str(tmp_path))
    start = np.array([6.6e6, 1e5, -2e5]), np.array([100.0, 9500.0, 5200.0]), 5e8
    ends = []
    for _ in range(2):
        nbody_heyoka._integrator.cache_clear()
        nbody._lately.cache_clear()
        ends.append(nbody.fly_arc(*start, constants.DAY, back_end="heyoka"))
    nbody_heyoka._integrator.cache_clear()
    assert len(list((tmp_path / "integrators").iterdir())) == 1
    np.testing.assert_array_equal(ends[0].r, ends[1].r)
