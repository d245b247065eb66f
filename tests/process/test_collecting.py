"""How often Python looks through its objects: in a process that flies, and in one that ends."""

from __future__ import annotations

import gc
import subprocess
import sys

import pytest

from mplan.process import collecting
from mplan.studies.executors import often


@pytest.fixture(autouse=True)
def as_before():
    """The thresholds of the process that tests run in."""
    found = gc.get_threshold()
    yield
    gc.set_threshold(*found)


@pytest.mark.parametrize(
    ("found", "wanted"),
    [
        ((700, 10, 10), (collecting.YOUNG, 10, 10)),
        ((2 * collecting.YOUNG, 10, 10), (2 * collecting.YOUNG, 10, 10)),
        ((700, 5, 500), (collecting.YOUNG, 5, 500)),
        ((0, 10, 10), (0, 10, 10)),
    ],
)
def test_everything_is_looked_through_less_often(found, wanted):
    """Whoever has it done still less often, or never, keeps that."""
    gc.set_threshold(*found)
    often.begin()
    assert gc.get_threshold() == wanted


def test_a_command_ends_without_looking_through_everything():
    """What its libraries have made is left to the system, though the way it ends is Python's own:
    what is said at the end is said, and a ring that nobody holds is not looked for.
    """
    script = """
import atexit, sys
from mplan import cli, stopping
class Ring:
    def __init__(self):
        self.itself = self
    def __del__(self):
        print("looked for")
def main():
    Ring()
    return 3
cli.main = main
atexit.register(print, "at the end")
sys.exit(stopping.command())
"""
    run = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True)
    assert (run.returncode, run.stdout, run.stderr) == (3, "at the end\n", "")


def test_what_is_there_is_set_aside_once():
    """In a process of its own: what came after it is looked through, and found."""
    script = """
import gc, weakref
from mplan.process import collecting
class Ring:
    def __init__(self):
        self.itself = self
        self.held = [[] for _ in range(collecting.MANY)]
lasting = weakref.ref(Ring())
collecting.set_aside()
passing = weakref.ref(Ring())
collecting.set_aside()
gc.collect()
print(lasting() is None, passing() is None)
"""
    run = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True)
    assert (run.stdout, run.stderr) == ("False True\n", "")


def test_what_is_new_is_looked_through_between_answers():
    collecting.tidy()
    assert gc.get_count()[1] == 0
