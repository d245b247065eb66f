"""Lines of a plan beside those of another: each beside the one that tells the same."""

from __future__ import annotations

import mplan
from mplan.show import notes
from mplan.show.gist import lines


def test_a_plan_beside_itself_differs_in_nothing(first_landing):
    """Several lines that begin alike, one a craft, are each held against their own."""
    plan = mplan.fly(first_landing)
    alike = [x for x in lines(plan) if x.startswith("thrusters, ")]
    assert len(alike) > 1, "else nothing could be taken for another"
    told = notes.gist(plan, lines(plan))
    assert "was" not in told
    assert "new" not in told
