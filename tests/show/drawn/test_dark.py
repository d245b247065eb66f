"""Dark pages: every light colour of a picture has a rule, and no dark one is changed again."""

from __future__ import annotations

import re

import pytest

from mplan.show.drawn import dark, palette
from mplan.show.translunar import cost_map

LIGHT, DARK = palette.LOOKS["light"], palette.LOOKS["dark"]


def test_no_dark_colour_is_a_light_one_that_changes():
    """A picture drawn for a dark page stays as it is there; so do words on cells of a map."""
    names = ("paper", "ink", "faint", "quiet", "main", "second", "good", "bad", "on_main")
    dressed = {getattr(DARK, name) for name in (*names, "on_second")} | set(DARK.colorway)
    assert not dressed & set(dark.colours())
    assert not {cost_map.PALE, cost_map.DARK} & set(dark.colours())


def test_colours_that_differ_stay_apart():
    """Two light colours never become one."""
    changed = dark.colours()
    assert len(set(changed.values())) >= len(changed) - 1, "paper and words on bars are one"
    assert changed[LIGHT.main] == DARK.main
    assert changed[LIGHT.ink] == DARK.ink


@pytest.mark.parametrize("name", dark.PROPERTIES)
def test_a_rule_has_the_colour_as_a_browser_writes_it(name):
    """Ink on a page that is dark becomes light, in whatever property it stands."""
    rules = dark.css("body.dark").splitlines()
    (rule,) = [x for x in rules if f'"{name}: rgb(26, 26, 26)"' in x]
    assert rule.startswith("body.dark .js-plotly-plot ")
    assert re.search(rf"{{ {name}: {DARK.ink} !important }}", rule)


@pytest.mark.parametrize("name", dark.IN_HATCHES)
def test_hatched_bars_turn_dark_too(name):
    """In a pattern the colour is an attribute: of the bar, and of the lines on it."""
    rules = dark.css("body.dark").splitlines()
    rule = f'body.dark .js-plotly-plot pattern [{name}="rgb(221, 221, 221)"] '
    assert f"{rule}{{ {name}: {DARK.faint} !important }}" in rules
