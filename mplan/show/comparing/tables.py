"""The tables of a comparison, in the units people read; those that differ, or every row."""

from __future__ import annotations

import pandas as pd

from mplan.comparing import Comparison
from mplan.show.comparing import columns
from mplan.show.comparing.rows import sections
from mplan.show.tables import framed


def everything(comparison: Comparison, *, every: bool = False) -> dict[str, pd.DataFrame]:
    """Return the tables by their titles: what differs or, with `every`, all there is."""
    chosen = [x for x in comparison.findings if every or x.what != "same"]
    tables = {title: framed(*each) for title, each in sections(comparison, every=every).items()}
    return {**tables, "Findings": framed(columns.FINDINGS, chosen)}
