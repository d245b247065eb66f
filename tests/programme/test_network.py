"""The critical path method against networks worked out in textbooks."""

from mplan.programme.network import earliest_starts, latest_starts

# Heizer and Render, "Operations Management", the example "Milwaukee Paper Manufacturing" (weeks):
# table of ES, LS and slack, from memory.
PAPER = {
    "A": (2, "", 0, 0),
    "B": (3, "", 0, 1),
    "C": (2, "A", 2, 2),
    "D": (4, "AB", 3, 4),
    "E": (4, "C", 4, 4),
    "F": (3, "C", 4, 10),
    "G": (5, "DE", 8, 8),
    "H": (2, "FG", 13, 13),
}
# Render and Stair, "Quantitative Analysis for Management", problem "Dave Fletcher" (weeks):
# earliest starts and the end, 23 weeks along B-E-G, as its published answer gives them.
FLETCHER = {
    "A": (7, "", 0),
    "B": (8, "", 0),
    "C": (3, "A", 7),
    "D": (1, "A", 7),
    "E": (4, "B", 8),
    "F": (5, "B", 8),
    "G": (11, "CE", 12),
    "H": (7, "DF", 13),
}
# Vanhoucke, "Integrated Project Management and Control" (Springer 2014), p. 6, "Cost Information
# System", read and worked out independently by the R package criticalpath (CRAN, 0.2.1, its
# README): duration, predecessors, earliest and latest start.
COST_SYSTEM = {
    1: (1, (), 0, 0),
    2: (2, (1,), 1, 1),
    3: (2, (1,), 1, 3),
    4: (4, (2,), 3, 3),
    5: (3, (2,), 3, 4),
    6: (3, (2,), 3, 4),
    7: (3, (3,), 3, 5),
    8: (2, (3,), 3, 6),
    9: (1, (3,), 3, 7),
    10: (1, (3,), 3, 7),
    11: (2, (4, 5, 6), 7, 7),
    12: (1, (7,), 6, 8),
    13: (1, (8,), 5, 8),
    14: (1, (9,), 4, 8),
    15: (1, (10,), 4, 8),
    16: (2, (11, 12, 13, 14, 15), 9, 9),
    17: (1, (11, 12, 13, 14, 15), 9, 10),
}


def network(table):
    takes = {key: row[0] for key, row in table.items()}
    return takes, {key: tuple(row[1]) for key, row in table.items()}


def test_a_textbook_network_start_by_start():
    takes, after = network(PAPER)
    assert earliest_starts(takes, after) == {key: row[2] for key, row in PAPER.items()}
    assert latest_starts(takes, after, 15) == {key: row[3] for key, row in PAPER.items()}


def test_a_published_project_of_seventeen_activities():
    """Eleven weeks along 1, 2, 4, 11 and 16; every float as published."""
    takes, after = ({str(k): f(row) for k, row in COST_SYSTEM.items()} for f in (_length, _before))
    assert earliest_starts(takes, after) == {str(k): row[2] for k, row in COST_SYSTEM.items()}
    late = latest_starts(takes, after, 11)
    assert late == {str(k): row[3] for k, row in COST_SYSTEM.items()}
    critical = [k for k, row in COST_SYSTEM.items() if late[str(k)] == row[2]]
    assert critical == [1, 2, 4, 11, 16]


def _length(row):
    return row[0]


def _before(row):
    return tuple(map(str, row[1]))


def test_another_by_its_end_and_critical_path():
    takes, after = network(FLETCHER)
    early = earliest_starts(takes, after)
    assert early == {key: row[2] for key, row in FLETCHER.items()}
    finish = max(early[key] + takes[key] for key in takes)
    assert finish == 23
    late = latest_starts(takes, after, finish)
    assert [key for key in takes if late[key] == early[key]] == ["B", "E", "G"]
    assert late["H"] == 16


def test_a_lag_counts_from_the_start_of_the_earlier_one():
    """Two units of one line overlap: the second begins 30 d after the first, which takes 100."""
    takes, after = {"a": 100, "b": 100}, {"a": (), "b": ("a",)}
    lags = {("a", "b"): 30}
    assert earliest_starts(takes, after, lags=lags) == {"a": 0, "b": 30}
    assert latest_starts(takes, after, 150, lags=lags) == {"a": 20, "b": 50}


def test_a_release_and_a_window_bound_a_task():
    takes, after = {"a": 5, "b": 2}, {"a": (), "b": ("a",)}
    assert earliest_starts(takes, after, releases={"b": 9})["b"] == 9
    late = latest_starts(takes, after, 20, held=lambda key, t: min(t, 12) if key == "b" else t)
    assert late == {"a": 7, "b": 12}
