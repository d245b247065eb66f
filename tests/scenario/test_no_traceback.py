"""Whatever stands in a file, the answer is a scenario or a ScenarioError with a reason a line."""

from copy import deepcopy
from datetime import date, time
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mplan.scenario import Scenario, ScenarioError, load
from mplan.scenario.profiles import default_events

TEXT = (Path(__file__).parent / "data" / "landing.toml").read_text(encoding="utf-8")
STATED = load(Path(__file__).parent / "data" / "landing.toml")
TABLES = {**STATED._data, "events": default_events(STATED._data)}

ODD = st.sampled_from(
    [
        *(0, -1, 3.5, 10**30, float("nan"), True, "", "x", "5 km", date(2000, 1, 1), time(1)),
        *([], [1], ["a", 2], [{}], [[]], {}, {"a": 1}, {"from": 3}),
    ]
)


def _paths(value, path=()):
    """Every key and index of a tree, as paths."""
    pairs = value.items() if isinstance(value, dict) else enumerate(value)
    for key, each in pairs:
        yield (*path, key)
        if isinstance(each, (dict, list)):
            yield from _paths(each, (*path, key))


def _outcome(attempt):
    try:
        return isinstance(attempt(), Scenario)
    except ScenarioError as error:
        return all(each.place and each.text for each in error.problems) and error.problems


@settings(max_examples=150, deadline=None)
@given(path=st.sampled_from(sorted(_paths(TABLES), key=str)), value=ODD)
def test_any_value_anywhere(path, value):
    if path[-1] == "from":
        return  # not to be changed, and said so in test_change
    key = ".".join(map(str, path))
    changes = {"events": deepcopy(TABLES["events"]), key: value}
    assert _outcome(lambda: STATED.change(changes))


@pytest.fixture(scope="module")
def shelf(tmp_path_factory):
    """One folder for all examples below, with the element file in it."""
    folder = tmp_path_factory.mktemp("shelf")
    element = Path(__file__).parent / "data" / "elements" / "descent.toml"
    (folder / "elements").mkdir()
    (folder / "elements" / "descent.toml").write_bytes(element.read_bytes())
    return folder / "scenario.toml"


@settings(max_examples=150, deadline=None)
@given(start=st.integers(0, len(TEXT) - 1), length=st.integers(1, 60), put=st.text(max_size=3))
def test_any_piece_of_text_lost(shelf, start, length, put):
    broken = TEXT[:start] + put + TEXT[start + length :]
    shelf.write_text(broken, encoding="utf-8", errors="replace", newline="")
    assert _outcome(lambda: load(shelf))
