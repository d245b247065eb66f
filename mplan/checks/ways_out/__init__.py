"""Gaps in the ways out as findings, and what would mend them: asked of a coverage that was flown.

A flight alone tells neither: its coverage takes seconds, so it is flown only where it is asked for.
"""

from mplan.checks.ways_out.gaps import findings
from mplan.checks.ways_out.mending import MOST_GAPS, remedied

__all__ = ["MOST_GAPS", "findings", "remedied"]
