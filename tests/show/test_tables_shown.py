"""Tables in cells: no heading is broken within a word, and a broad one keeps its first column."""

from __future__ import annotations

from mplan.show import mission
from mplan.show.notebook import BROAD, KEPT, STRIPE, Table


def test_a_broad_table_keeps_its_first_column_in_sight(landing_plan):
    """Every row's first cell stays where it is when the table is scrolled, and no other does."""
    table = mission.budget(landing_plan)
    assert table.frame.shape[1] >= BROAD
    rows = table.html.split("<tr>")[1:]
    assert len(rows) == len(table.frame) + 1
    for index, row in enumerate(rows):
        stays = STRIPE if index and index % 2 == 0 else KEPT  # the second, fourth of the body
        assert row.count("position:sticky") == row.split("</t")[0].count(stays) == 1
    assert KEPT not in Table(table.frame.iloc[:, : BROAD - 1]).html


def test_headings_break_between_words_alone(landing_plan):
    """A page's own rule that breaks words anywhere does not hold for headings."""
    html = mission.budget(landing_plan).html
    heads = html.split("<th ")[1:]
    assert heads
    assert all("word-break:normal; overflow-wrap:normal" in head.split(">")[0] for head in heads)


def test_long_headings_are_not_set_a_word_a_line(landing_plan):
    """A heading has room for a third of its letters at least, so for some three lines."""
    heads = mission.budget(landing_plan).html.split("<th ")[1:]
    for head in heads:
        style, _, text = head.partition(">")
        words = text.split("</th>")[0]
        assert int(style.split("min-width:")[1].split("ch")[0]) * 3 >= len(words), words
