"""An interruption of a cell: a line where the kit was at work, a traceback where somebody else."""

from __future__ import annotations

import re
import sys

import pytest
from traitlets.config import Config

from mplan.show import interrupted

BY_THE_KIT = """
from mplan.show.columns import Column
from mplan.show.tables import framed
def stop(row):
    raise KeyboardInterrupt
framed((Column("a", stop),), [1])
"""
BY_ANOTHER = "raise KeyboardInterrupt"
KNOWN = """
from mplan.show.interrupted import Interrupted
raise Interrupted("Stopped before there was a calendar.")
"""


def plain(shown):
    """What a shell shows without its colours."""
    return re.sub(r"\x1b\[[\d;]*m", "", shown).strip()


@pytest.fixture
def run(capsys, monkeypatch):
    """Return a function that runs a cell in a shell of its own and returns what it shows."""
    core = pytest.importorskip("IPython.core.interactiveshell")
    monkeypatch.setitem(sys.modules, "__main__", sys.modules["__main__"])  # a shell is one
    shell = core.InteractiveShell(config=Config({"HistoryManager": {"enabled": False}}))
    interrupted.in_a_line(shell)

    def cell(source):
        found = shell.run_cell(source)
        assert isinstance(found.error_in_exec, KeyboardInterrupt)
        return capsys.readouterr().out

    return cell


def test_the_kit_says_it_in_a_line(run):
    assert plain(run(BY_THE_KIT)) == f"Interrupted: {interrupted.SAID}"


def test_words_of_its_own_are_kept(run):
    assert plain(run(KNOWN)) == "Interrupted: Stopped before there was a calendar."


def test_code_of_others_keeps_its_traceback(run):
    said = plain(run(BY_ANOTHER))
    assert "KeyboardInterrupt" in said
    assert interrupted.SAID not in said


def test_without_a_shell_nothing_happens(monkeypatch):
    monkeypatch.delitem(interrupted.sys.modules, "IPython", raising=False)
    interrupted.in_a_line()
