"""Text that keeps its numbers: written as ever, and compared number by number."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

import mplan
from mplan.show import air, climb, homeward, moon, stack, translunar
from mplan.show.air import tables as of_air
from mplan.show.climb import tables as of_climb
from mplan.show.gist import lines
from mplan.show.homeward import tables as of_home
from mplan.show.moon import tables as of_moon
from mplan.show.stack.panel import facts as of_stack
from mplan.show.told import Told, against, joined, span, told
from mplan.show.translunar import tables as of_way

LATER = datetime(2031, 5, 25, 20, 0, 0)


def said(now: str, before: str) -> list[str]:
    return [difference.text for _, difference in against(now, before) if difference]


def test_it_is_written_like_any_text():
    """Digits, units, times and words stand as the form says, and the text is a string."""
    text = told("{:.1 kPa} to {:.0(s)} at {:%H:%M}, {:m:s} min, {}", 1234.56, 7, LATER, 61, "up")
    assert text == "1,234.6 kPa to 7 at 20:00, 1:01 min, up"
    assert told("{:.1 m}", -0.01) == "0.0 m", "a rounded zero has no sign"
    assert joined(", ", [told("{:.0 m}", 1), "two"]) == "1 m, two"


def test_each_number_has_its_difference():
    """What moved is told with sign and unit; what reads the same says nothing."""
    form = "max q {:.1 kPa} at {:.0 s}"
    assert said(told(form, 34.5, 71), told(form, 34.1, 71)) == ["+0.4 kPa"]
    assert said(told(form, 34.1, 70), told(form, 34.5, 71)) == ["−0.4 kPa", "−1 s"]
    assert said(told(form, 34.11, 71), told(form, 34.12, 71)) == []
    spoken = [x.spoken for _, x in against(told(form, 34.1, 71), told(form, 34.5, 71)) if x]
    assert spoken == ["0.4 kPa less"], "a sign is read as a word"


def test_pieces_make_the_text():
    """Differences are laid between pieces that together are the text."""
    now = told("a {:.0 m} b {}", 2, told("{:.0 s} c", 3))
    pieces = against(now, told("a {:.0 m} b {}", 1, told("{:.0 s} c", 3)))
    assert "".join(text for text, _ in pieces) == now


def test_times_are_later_or_earlier():
    form, before = "lift-off {:%H:%M:%S}", LATER - timedelta(days=2, hours=3, seconds=5)
    assert said(told(form, LATER), told(form, before)) == ["2 d 3 h later"]
    assert said(told(form, before), told(form, LATER)) == ["2 d 3 h earlier"]
    assert said(told("{:m:s}", 75), told("{:m:s}", 70)) == ["+5 s"]
    assert (span(41.2), span(7260.0), span(86400.0)) == ("41 s", "2 h 1 min", "1 d")


def test_a_word_that_is_another_says_what_it_was():
    """Places and the like stand among numbers, and tell what they were beside them."""
    form = "splash {:%H:%M} near {:was}"
    assert said(told(form, LATER, "7.6 N"), told(form, LATER, "8.0 N")) == ["was 8.0 N"]
    assert said(told(form, LATER, "7.6 N"), told(form, LATER, "7.6 N")) == []


def test_other_words_say_what_they_were():
    """Where no number compares, the difference is what the other text says."""
    assert said("no wind", "wind") == ["was: wind"]
    assert said(told("{:.0 m}", 1), told("{:.0 s}", 1)) == ["was: 1 s"]
    assert said(told("{:.0 m}", 1), "none") == ["was: none"]
    assert said("none", "none") == []


FACTS = {
    climb: of_climb.facts,
    translunar: of_way.facts,
    homeward: of_home.facts,
    moon: of_moon.facts,
    air: of_air.facts,
    stack: of_stack,
}


@pytest.mark.parametrize("facts", FACTS.values(), ids=[x.__name__ for x in FACTS])
def test_figures_of_a_panel_keep_their_numbers(facts, landing_plan):
    """At least half of the figures beside a panel's sliders can be compared number by number."""
    figures = list(facts(landing_plan).values())
    measured = [x for x in figures if isinstance(x, Told) and not all(map(_is_text, x.parts))]
    assert 2 * len(measured) >= len(figures)


def _is_text(part: object) -> bool:
    return isinstance(part, str)


def test_lines_of_a_mission_compare(reference_landing, landing_plan):
    """A later splash and a slower way show in the lines that have them, and in no others."""
    slower = mplan.fly(reference_landing.change("dates.translunar_time", "80 h"))
    pairs = zip(lines(slower), lines(landing_plan), strict=True)
    moved = {now.split(" ")[0]: said(now, before) for now, before in pairs if said(now, before)}
    assert any(x.endswith("later") for x in moved["splash"])
    assert "landing" not in moved
