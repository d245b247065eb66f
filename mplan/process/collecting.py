"""How often Python looks through its objects for rings that nobody holds any more.

It does so five times a mission for what is new, and through every object it has, those of all
libraries among them, every fifteen: a tenth of the time, in which next to nothing is found, as
flights are records that refer to each other in one direction. So it is done less often.
"""

from __future__ import annotations

import gc

# Objects more than there were: a mission has some 4000 at once, and leaves next to none behind. A
# hundred times as many, some 300 MB, and everything is looked through.
YOUNG = 20_000
MANY = 10_000  # objects set aside: Python itself has some hundred so from its start on


def seldom() -> None:
    """Have objects looked through less often, unless that is so already or never done."""
    young, *others = gc.get_threshold()
    if 0 < young < YOUNG:
        gc.set_threshold(YOUNG, *others)


def set_aside() -> None:
    """Leave what is there by now out of every later look, once in the life of a process.

    That is the libraries: three quarters of what a panel's kernel holds, and 0.15 s of every look
    through all. Only once: what the user throws away later must be found.
    """
    if gc.get_freeze_count() < MANY:
        gc.freeze()


def tidy() -> None:
    """Look through what is new, a millisecond or two after each answer, now that nobody waits.

    Else Python does it in the middle of a later answer, 40 ms for what some ten have left.
    """
    gc.collect(1)


def no_more() -> None:
    """Leave all objects as they are, as the process is about to end.

    Python would look through all of them twice, 0.3 s once its libraries are there, for memory
    that the system takes back at once.
    """
    gc.disable()
    gc.freeze()
