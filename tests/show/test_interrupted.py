"""An interruption of a cell: a line where the kit was at work, a traceback where somebody else."""

from __future__ import annotations

import re
import subprocess
import sys

import pytest

from mplan.show import interrupted

SHELL = """
import sys
from IPython.core.interactiveshell import InteractiveShell
from traitlets.config import Config
from mplan.show import interrupted
shell = InteractiveShell(config=Config({"HistoryManager": {"enabled": False}}))
interrupted.in_a_line(shell)
found = shell.run_cell(sys.argv[1])
assert isinstance(found.error_in_exec, KeyboardInterrupt)
"""
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


def shown(cell):
    """What a shell in a process of its own shows of a cell, without colours."""
    pytest.importorskip("IPython")
    run = subprocess.run(
        [sys.executable, "-c", SHELL, cell], capture_output=True, text=True, timeout=120
    )
    assert run.returncode == 0, run.stderr
    return re.sub(r"\x1b\[[\d;]*m", "", run.stdout).strip()


def test_the_kit_says_it_in_a_line():
    assert shown(BY_THE_KIT) == f"Interrupted: {interrupted.SAID}"


def test_words_of_its_own_are_kept():
    assert shown(KNOWN) == "Interrupted: Stopped before there was a calendar."


def test_code_of_others_keeps_its_traceback():
    said = shown(BY_ANOTHER)
    assert "Traceback" in said
    assert "KeyboardInterrupt" in said
    assert interrupted.SAID not in said


def test_without_a_shell_nothing_happens(monkeypatch):
    monkeypatch.delitem(sys.modules, "IPython", raising=False)
    interrupted.in_a_line()
