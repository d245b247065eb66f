"""Stopped at any moment: the exit code of the signal, no traceback, no process left behind."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest

pytestmark = pytest.mark.skipif(os.name == "nt", reason="Windows has no such signals to send")
LANDING = str(Path(__file__).parent / "missions" / "reference_landing.toml")
# The interpreter itself, before a line of ours runs, is nobody's to keep from its traceback: the
# process says when it has come to us.
BEGINS = """
import os, sys
from mplan import stopping
stopping.at_once()
os.write(1, b"!")
sys.exit(stopping.command())
"""


def stopped(number: int, after: float, *arguments: str) -> tuple[int, str]:
    """Return exit code and complaints of a command that gets a signal `after` its begin [s]."""
    run = [sys.executable, "-c", BEGINS, *arguments]
    with subprocess.Popen(run, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as going:
        assert going.stdout.read(1) == b"!"
        time.sleep(after)
        going.send_signal(number)
        _, said = going.communicate(timeout=60)
    return going.returncode, said.decode()


@pytest.mark.parametrize("after", [0.0, 0.05, 0.1, 0.2, 0.4, 0.7, 1.0, 1.5])
def test_a_brief_interrupted(after):
    """From the first import to the flight: 130 and one line."""
    code, said = stopped(signal.SIGINT, after, "brief", LANDING)
    assert (code, said) in [(130, "stopped; nothing was written\n"), (0, "")]
    assert code == 130 or after > 0.5, "nothing flies that quickly"


def test_a_brief_terminated():
    code, said = stopped(signal.SIGTERM, 0.3, "brief", LANDING)
    assert (code, said) == (143, "stopped; nothing was written\n")


def test_an_interruption_that_a_destructor_swallows(tmp_path):
    """Python only reports what a destructor raises: the command is stopped nevertheless."""
    script = """
import signal, sys, time
from mplan import cli, stopping
class Deaf:
    def __del__(self):
        signal.raise_signal(signal.SIGINT)
def main():
    del Deaf().__dict__
    time.sleep(20)
    return 0
def caught():
    try:
        return main()
    except KeyboardInterrupt:
        return 130
cli.main = caught
sys.exit(stopping.command())
"""
    run = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, timeout=15)
    assert (run.returncode, run.stderr) == (130, "")


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def children(process: int) -> list[int]:
    """Return the processes under one, as Linux lists them."""
    tasks = Path(f"/proc/{process}/task").glob("*/children")
    direct = [int(x) for task in tasks for x in task.read_text().split()]
    return direct + [each for child in direct for each in children(child)]


@pytest.mark.skipif(not Path("/proc/self/task").is_dir(), reason="no list of processes here")
@pytest.mark.parametrize(("number", "code"), [(signal.SIGTERM, 143), (signal.SIGINT, 130)])
def test_lab_ends_its_server(tmp_path, number, code):
    """What ends `mplan lab` ends its server, with its kernels."""
    port = free_port()
    lab = ["lab", "--folder", str(tmp_path / "work"), "--port", str(port), "--no-browser"]
    run = [sys.executable, "-m", "mplan", *lab]
    with subprocess.Popen(run, stderr=subprocess.PIPE, stdout=subprocess.PIPE) as going:
        until = time.monotonic() + 60
        while True:
            assert time.monotonic() < until, "the server never answered"
            time.sleep(0.3)
            try:
                urllib.request.urlopen(f"http://127.0.0.1:{port}/login", timeout=5).close()
                break
            except OSError:
                continue
        under = children(going.pid)
        assert under
        going.send_signal(number)
        _, said = going.communicate(timeout=60)
    assert going.returncode == code
    assert "Traceback" not in said.decode()
    assert not [each for each in under if Path(f"/proc/{each}").exists()]
