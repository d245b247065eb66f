"""This mission beside another scenario file, in a cell of the workbook."""

from __future__ import annotations

import os

from mplan.comparing import with_file
from mplan.plan import Plan
from mplan.show import comparing, notebook
from mplan.show.notebook import Words, sentence

NOTHING = "No other scenario is named: nothing is compared."


def compared(plan: Plan, other: str | os.PathLike[str]) -> Words:
    """Return what differs between a plan, A, and that of the scenario file `other`, B.

    Where `other` is empty, a sentence says so. Raises ScenarioError, as `mplan.load` does.
    """
    if not str(other):
        return sentence(NOTHING)
    found = with_file(plan, other)
    parts = [sentence(line) for line in comparing.told(found)]
    for title, frame in comparing.everything(found).items():
        if not frame.empty:
            parts += [sentence(title), notebook.Table(frame)]
    return Words("".join(x.html for x in parts), "\n".join(x.text for x in parts))
