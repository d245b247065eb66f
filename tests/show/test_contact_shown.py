"""Contact as people read it: the sentence of the brief, tables, a picture."""

from __future__ import annotations

import io

import pytest

import mplan
from mplan.checks import contact
from mplan.show import mission, tables
from mplan.show.contact import drawing, sentence
from mplan.show.terminal.brief import print_brief


@pytest.fixture(scope="module")
def plan(first_landing) -> mplan.Plan:
    return mplan.fly(first_landing)


def test_the_brief_tells_it_in_one_line(plan):
    """How many burns and events are seen, and the longest silence with its reason."""
    out = io.StringIO()
    print_brief(plan, out)
    said = [line for line in out.getvalue().splitlines() if line.startswith("contact:")]
    assert len(said) == 1
    log = contact.of(plan.flight)
    seen = sum(bool(x.stations) for x in log.events)
    assert f"{seen} of {len(log.events)} burns and events are seen" in said[0]


def test_tables_have_units_and_reasons(plan):
    """A burn nobody sees has its reason beside it; times read as in the timeline."""
    found = tables.contact(plan)
    assert {"seen", "station_passes", "silences", "radio_links"} == set(found)
    seen = found["seen"]
    assert set(seen["why not"]) == {"", "behind the Moon", "below the horizon"}
    assert (seen["seen by"] == "nobody").sum() == (seen["why not"] != "").sum()
    assert (found["silences"]["lasts [min]"] > 0.0).all()


def test_the_picture_has_every_pass_and_silence(plan):
    """A bar each, on rows of both craft; events as marks of two shapes."""
    log = contact.of(plan.flight)
    passes, silences, seen, unseen = drawing(log).traces
    assert len(passes["x"]) == len(log.passes)
    assert len(silences["x"]) == len(log.silences)
    assert len(seen["x"]) + len(unseen["x"]) == len(log.events)
    assert seen["marker"]["symbol"] != unseen["marker"]["symbol"]
    assert len(mission.contact(plan).png()) > 5000


def test_without_stations_it_says_so(landing_plan):
    assert sentence(contact.of(landing_plan.flight)) == ""
    assert "no [stations]" in repr(mission.contact(landing_plan))
    assert "no [stations]" in repr(mission.seen(landing_plan))


def test_link_margins_are_a_table_a_curve_each_and_a_sentence(plan):
    """A row a link with its state in words; curves over the best station, and what is wanted."""
    log = contact.of(plan.flight)
    found = tables.contact(plan)["radio_links"]
    assert len(found) == len(log.links) > 0
    assert set(found["state"]) == {"keeps its margin"}
    assert (found["least margin [dB]"] >= found["wanted [dB]"]).all()
    picture = mission.link_margins(plan)
    best = contact.links.best(log.links)
    assert len(picture.data) == len(best) + 2
    for curve, each in zip(picture.data, best, strict=False):
        drawn = [y for y in curve.y if y is not None]
        assert min(drawn) == pytest.approx(each.least.margin, abs=0.01)
    assert len(picture.png()) > 5000
    out = io.StringIO()
    print_brief(plan, out)
    assert "radio links: " in out.getvalue()


def test_without_radios_it_says_so(landing_plan):
    assert "no element" in repr(mission.link_margins(landing_plan))
    assert "no element" in repr(mission.radio_links(landing_plan))
