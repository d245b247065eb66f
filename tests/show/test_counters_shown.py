"""The counters as people read them: a few lines in the brief, the whole sheet as tables."""

from __future__ import annotations

from io import StringIO

import mplan
from mplan.show import counters, tables
from mplan.show.terminal import print_brief

WHOLE = ["starts", "thruster_tanks", "dockings", "crew_transfers", "jettisons"]


def test_the_brief_tells_them_in_short(landing_plan):
    """Of one ship at most eight lines, with their title and a blank; a file's own words."""
    out = StringIO()
    print_brief(landing_plan, out)
    block = out.getvalue().partition("\nCounters\n")[2].partition("\n\nTimeline")[0]
    assert 3 <= len(block.splitlines()) <= 6
    text = " ".join(block.split())
    assert text.startswith("29 starts of 10 kinds of engines; nearest to its limit: ")
    assert "Hydrogen-2R of transfer stage 2 of 2, Storable-16 of ascent stage 489 of 520 s" in text
    assert "2 dockings (crew module 2, ascent stage 2); crew transfers: 2 to ascent stage" in text
    assert "jettisons in order: first stage, escape tower, second stage" in text


def test_a_line_a_ship(two_launches):
    """Each ship's engines are told under its name, and its nearest to their limits."""
    plan = mplan.Plan(two_launches, ())
    lander, ours, *_ = counters.lines(plan)
    assert lander.startswith("lander: 19 starts of 9 kinds of engines; nearest")
    assert ours.startswith("main ship: 21 starts of 6 kinds of engines; nearest")


def test_the_tables_have_every_row(landing_plan, two_launches):
    """Ships have a column where there are several; a series of burns is one row."""
    alone, together = (tables.counted(x) for x in (landing_plan, mplan.Plan(two_launches, ())))
    assert list(alone) == list(together) == WHOLE
    assert "ship" not in alone["starts"]
    assert set(together["starts"]["ship"]) == {"lander", "main ship"}
    met = alone["starts"].set_index("for").loc["rendezvous"]
    assert met["start"] == "3 to 9 of 500"
    tanks = alone["thruster_tanks"].set_index("element")
    assert tanks["attitude, estimate [kg]"].isna().all()  # nothing is worked out
    assert [len(x) for x in alone.values()] == [23, 5, 2, 2, 8]
    assert list(alone["dockings"]["docks to"])[1] == "crew module, docking 2"


def test_nothing_flown_counts_nothing(reference_landing):
    """A mission whose order of events is at fault has no counters and no lines."""
    events = reference_landing.events_as_written()
    plan = mplan.fly(reference_landing.change("events", events[1:]))
    assert not plan.complete
    assert counters.lines(plan) == []
    assert all(x.empty for name, x in tables.counted(plan).items() if name != "thruster_tanks")
