"""What a process does that flies often; for one flight it would not be worth it.

Python looks through what is new five times a mission, and through every object it has, those of all
libraries among them, every fifteen: a tenth of the time, in which next to nothing is found, as
flights are records that refer to each other in one direction. So it is done less often.
"""

from __future__ import annotations

import gc

from mplan.physics import compiling

# Objects more than there were: a mission has some 4000 at once, and leaves next to none behind. A
# hundred times as many, some 300 MB, and everything is looked through.
YOUNG = 20_000


def begin() -> None:
    """Load the compiled functions beside the work, and look through everything less often."""
    compiling.start()
    collect_seldom()


def collect_seldom() -> None:
    """Have objects looked through less often, unless that is so already or never done."""
    young, *others = gc.get_threshold()
    if 0 < young < YOUNG:
        gc.set_threshold(YOUNG, *others)
