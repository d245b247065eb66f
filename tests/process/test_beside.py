"""Questions shared with a copy of the process: who answers, and what becomes of what goes wrong."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from mplan.process import beside

LANDING = str(Path(__file__).parents[1] / "missions" / "reference_landing.toml")
BEGIN = """
import os, signal, threading, time
from mplan.process import beside
beside.keep_single()
here = os.getpid()
def ask(number):
    time.sleep(0.05)
    return number, os.getpid()
"""
copies = pytest.mark.skipif(sys.platform != "linux", reason="no copies of processes elsewhere")


def said(script: str, begin: str = BEGIN) -> list[str]:
    """Return what a process says that runs a script: one with threads cannot be copied."""
    run = subprocess.run([sys.executable, "-c", begin + script], capture_output=True, text=True)
    assert run.returncode == 0, run.stderr
    assert run.stderr == ""
    return run.stdout.split()


@copies
def test_both_answer_and_the_answers_are_in_order():
    script = """
os.sched_getaffinity = lambda _: {0, 1}
found = beside.begin(ask, [(x,) for x in range(9)])()
print([x for x, _ in found] == list(range(9)), len({y for _, y in found}))
"""
    assert said(script) == ["True", "2"]


@copies
def test_what_ends_the_copy_costs_no_answer():
    script = """
os.sched_getaffinity = lambda _: {0, 1}
def ends(number):
    if os.getpid() != here:
        os.kill(os.getpid(), signal.SIGKILL)
    return number
rest = beside.begin(ends, [(x,) for x in range(5)])
time.sleep(0.2)
print(*rest())
"""
    assert said(script) == ["0", "1", "2", "3", "4"]


@copies
def test_what_cannot_be_answered_is_told_here_alone():
    script = """
os.sched_getaffinity = lambda _: {0, 1}
def fails(number):
    if number == 0:
        raise ArithmeticError("none")
    return number
rest = beside.begin(fails, [(x,) for x in range(5)])
time.sleep(0.2)
try:
    rest()
except ArithmeticError as problem:
    print(problem)
"""
    assert said(script) == ["none"]


@pytest.mark.parametrize(
    "why",
    [
        "os.sched_getaffinity = lambda _: {0}",
        "threading.Thread(target=time.sleep, args=(2.0,), daemon=True).start()",
        "beside.sys.platform = 'another'",
    ],
)
def test_where_no_copy_would_be_sound_this_process_answers(why):
    script = f"""
{why}
found = beside.begin(ask, [(x,) for x in range(3)])()
print([x for x, _ in found], {{y for _, y in found}} == {{here}})
"""
    assert said(script)[-1] == "True"


@copies
def test_a_glance_in_a_copy_sees_what_one_here_does():
    """All that its looks tell, to the last digit; the order of a set means nothing."""
    script = f"""
import mplan
os.sched_getaffinity = lambda _: {{0, 1}}
from mplan import glancing
from mplan.contingencies.ways_out.glance import glance
flight = mplan.fly(mplan.load({LANDING!r})).flight
assert beside.may_copy()
def told(looks):
    lefts = [x for each in looks for x in each.seen.values()]
    return [(repr(x._replace(spare=None)), x.spare and (x.spare[:-1], sorted(x.spare.ways)))
            for x in lefts]
shared = glancing.begin(flight)()
print(len(shared) > 4, told(shared) == told(glance(flight)))
"""
    assert said(script) == ["True", "True"]


def test_one_question_is_answered_here():
    assert beside.begin(abs, [(-1,)])() == (1,)
