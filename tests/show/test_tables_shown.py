"""Tables in cells: no heading is broken within a word, and a broad one keeps its first column."""

from __future__ import annotations

import pandas as pd

from mplan.show import mission
from mplan.show.notebook import BROAD, KEPT, Table


def test_a_broad_table_keeps_its_first_column_in_sight():
    """Every row's first cell stays where it is when the table is scrolled, and no other does."""
    frame = pd.DataFrame({f"column {i} [m/s]": [1.0, 2.0] for i in range(BROAD)})
    html = Table(frame).html
    assert html.count(KEPT) == len(frame) + 1
    rows = html.split("<tr>")[1:]
    assert all(KEPT in row.split("</t")[0] for row in rows)
    assert KEPT not in Table(frame.iloc[:, :-1]).html


def test_headings_break_between_words_alone(landing_plan):
    """A page's own rule that breaks words anywhere does not hold for headings."""
    html = mission.budget(landing_plan).html
    heads = html.split("<th ")[1:]
    assert heads
    assert all("word-break:normal; overflow-wrap:normal" in head.split(">")[0] for head in heads)
