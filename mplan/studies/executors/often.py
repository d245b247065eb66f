"""What a process does that flies often; for one flight it would not be worth it.

Python looks through every object it has, those of all libraries among them, once some fifteen
missions have left theirs to be looked at: a quarter of a second, in which next to nothing is found,
as flights are records that refer to each other in one direction. So it is done less often.
"""

from __future__ import annotations

import gc

from mplan.physics import compiling

SELDOM = 100  # collections of what is young to one of everything; Python's own is 10 (our choice)


def begin() -> None:
    """Load the compiled functions beside the work, and look through everything less often."""
    compiling.start()
    collect_seldom()


def collect_seldom() -> None:
    """Have everything looked through less often, unless that is so already or never done."""
    young, middle, everything = gc.get_threshold()
    if 0 < everything < SELDOM:
        gc.set_threshold(young, middle, SELDOM)
