"""Compiled functions: kept, loaded, and done without where that cannot be."""

from __future__ import annotations

import os
import signal
import stat
import subprocess
import sys
from math import exp
from typing import NamedTuple

import pytest

from mplan.physics import compiling, numba_bridge
from mplan.physics.arcs import compiled as kept_files
from mplan.physics.compiling import Table, table


class Gas(NamedTuple):
    """An argument of all sorts."""

    name: int
    warm: bool
    density: float
    heights: Table


def thinned(height: float, gas: Gas, pair: tuple[float, float]) -> float:
    """Something to compile."""
    return gas.density * exp(-height / gas.heights[gas.name]) + pair[1] if gas.warm else pair[0]


GAS = Gas(1, True, 1.225, table((7.0, 8.5)))


@pytest.fixture
def cache(tmp_path, monkeypatch):
    monkeypatch.setenv("MPLAN_CACHE", str(tmp_path))
    return tmp_path


def made(stamp="a stamp", **how):
    """The function compiled or loaded, and whether it had to be compiled."""
    dispatcher = numba_bridge.numba.njit(thinned)
    found = numba_bridge._compiled(thinned, dispatcher, stamp, **how)
    assert found(8.5, GAS, (0.0, 1.0)) == thinned(8.5, GAS, (0.0, 1.0))
    return not dispatcher._cache_hits


def test_a_compiled_function_is_kept(cache):
    """The second time it is loaded; under another stamp it is foreign."""
    assert made()
    assert not made()
    assert made("another stamp")
    with pytest.raises(KeyError, match="thinned"):
        made("a third", only_kept=True)
    assert not made("another stamp", only_kept=True)


@pytest.mark.parametrize("body", [b"", b"garbage", b"a stamp 0\n\x80\x04", None])
def test_a_broken_file_is_compiled_over(cache, body):
    """Cut short, foreign or with a byte changed: it is made again, and then good."""
    made()
    (file,) = cache.rglob("*.bin")
    whole = file.read_bytes()
    file.write_bytes(whole[:-1] + bytes([whole[-1] ^ 1]) if body is None else body)
    assert made()
    assert not made()


@pytest.mark.skipif(not hasattr(os, "getuid"), reason="no owners of files")
def test_a_folder_open_to_others_is_not_trusted(cache):
    """What others may have written is not loaded."""
    made()
    (file,) = cache.rglob("*.bin")
    file.parent.chmod(0o777)
    assert made()
    assert stat.S_IMODE(file.parent.stat().st_mode) == 0o777


def test_a_folder_that_cannot_be_written(tmp_path, monkeypatch):
    """Then it is compiled each time."""
    (tmp_path / "file").write_text("no folder", "utf-8")
    monkeypatch.setenv("MPLAN_CACHE", str(tmp_path / "file"))
    assert made()
    assert made()


def test_an_argument_without_a_type():
    """What no compiled function can take is told when it is compiled."""
    with pytest.raises(TypeError, match="no compiled function takes <class 'str'>"):
        numba_bridge._type(str)


def test_calls_of_other_types_run_as_written():
    """Slower, and counted."""
    entry = compiling._Entry(thinned)

    def narrow(*args):
        raise TypeError("no matching definition")

    entry.runs = narrow
    assert entry(8.5, GAS, (0.0, 1.0)) == thinned(8.5, GAS, (0.0, 1.0))
    assert entry.refused == 1
    entry.runs = entry.written
    with pytest.raises(TypeError):
        entry(8.5)


def test_who_has_others_fly_sees_to_it_that_functions_are_kept(cache, monkeypatch):
    """What lacks is made, by another process; what is kept is neither made again nor loaded."""
    made_there = []
    monkeypatch.setattr(compiling, "_make", lambda: made_there.append(True))
    compiling._keep()
    assert made_there == [True]
    stamp = kept_files.functions_stamp()
    for each in compiling._entries:
        kept_files.write(kept_files.function_file(each.written), stamp, b"")
    compiling._keep()
    assert made_there == [True]
    kept_files.write(kept_files.function_file(compiling._entries[0].written), "foreign", b"")
    compiling._keep()
    assert made_there == [True, True]


def test_functions_are_loaded_once_another_process_has_them_kept(cache, monkeypatch):
    """A process that others share work with does not fly as written to its end."""
    loaded, looks = [], []

    def another_compiles(_: float) -> None:
        looks.append(list(loaded))
        if len(looks) == 2:
            stamp = kept_files.functions_stamp()
            for each in compiling._entries:
                kept_files.write(kept_files.function_file(each.written), stamp, b"")

    monkeypatch.setattr(compiling, "sleep", another_compiles)
    monkeypatch.setattr(compiling, "_load", lambda **how: loaded.append(how))
    compiling._start_once_kept()
    assert looks == [[], []]
    assert loaded == [{"only_kept": True}]


def test_without_numba_nothing_is_compiled():
    """The package flies as written, and `load` says so; a first plan does not import Numba."""
    code = """if True:
        import sys
        sys.modules["numba"] = None
        import mplan
        from mplan.physics import compiling
        assert not compiling.load() and not compiling.compiled()
        """
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    code = "import sys, mplan.flight.walk; assert 'numba' not in sys.modules"
    assert subprocess.run([sys.executable, "-c", code]).returncode == 0


KILLED = """if True:
    import os, signal, sys, threading
    from mplan.physics import compiling
    compiling.MAKE = f'''if True:
        import time
        from mplan.physics import compiling
        begun = open({sys.argv[1]!r}, "w")
        begun.write("begun")
        begun.flush()
        compiling.load = lambda: time.sleep(600.0)
        compiling.load_for_another()
    '''
    threading.Thread(target=compiling._make, daemon=True).start()
    sys.stdin.read(1)
    os.kill(os.getpid(), signal.SIGKILL)
    """


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes with names, no such signal")
def test_what_compiles_ends_with_who_asked(tmp_path):
    """One that is killed outright ends nothing itself; its pipe closes when the last has ended."""
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    command = [sys.executable, "-c", KILLED, str(pipe)]
    with subprocess.Popen(command, stdin=subprocess.PIPE) as asking, pipe.open() as told:
        assert told.read(5) == "begun"
        asking.communicate(b"x")
        assert asking.returncode == -signal.SIGKILL
        assert told.read() == ""


LOADED = """
import sys
from mplan.physics import compiling, numba_bridge
assert compiling.load_kept()
COMPILER = ("numba.np.linalg", "numba.np.arrayobj", "scipy.linalg")
print(*(x for x in COMPILER if x in sys.modules))
print(numba_bridge.numba.njit(lambda x: x + 1.0)(1.0))
"""


def test_what_is_kept_is_loaded_without_the_compiler():
    """What the compiler knows takes longest to bring in; it comes once something is compiled."""
    assert compiling.load(), "kept"
    run = [sys.executable, "-c", LOADED]
    said = subprocess.run(run, capture_output=True, text=True, check=True)
    assert said.stdout.split() == ["2.0"]


def test_nothing_is_compiled_where_nothing_is_kept(cache):
    assert not compiling.load_kept()
    assert not list(cache.rglob("*.bin"))
