"""The keys of two scenarios that mean something else; nothing is flown here."""

from __future__ import annotations

from pathlib import Path

import mplan
from mplan.comparing.keys import differing
from mplan.scenario.changes import without_origins

SCENARIOS = Path(__file__).parents[2] / "scenarios"


def test_one_key_with_its_units(reference_landing):
    """Both values are told as they are written."""
    other = reference_landing.change("mission.payload_down", "100 kg")
    assert differing(reference_landing, other) == (("mission.payload_down", "250 kg", "100 kg"),)


def test_nothing_differs(reference_landing):
    assert differing(reference_landing, reference_landing) == ()


def test_another_way_to_write_a_value_is_no_difference(reference_landing):
    """In another unit it is the same mass."""
    other = reference_landing.change("mission.payload_down", "0.25 t")
    assert other.tables_as_written()["mission"]["payload_down"] == "0.25 t"
    assert differing(reference_landing, other) == ()


def test_a_default_that_is_stated_is_no_difference(first_landing):
    """A file that says what is so anyway means the same; anything else is told as not stated."""
    stated = first_landing.change("severity.light", "for information")
    assert differing(first_landing, stated) == (("severity.light", None, "for information"),)
    assert differing(stated, first_landing) == (("severity.light", "for information", None),)
    unsaid = first_landing.change("orbits.parking_revolutions", None)
    assert "parking_revolutions" not in unsaid.tables_as_written()["orbits"]
    assert unsaid.orbits.parking_revolutions == first_landing.orbits.parking_revolutions
    assert differing(first_landing, unsaid) == ()


def test_a_file_based_on_another(first_landing):
    """What it takes over makes no difference; what it states does, element by element."""
    found = {x.key: (x.a, x.b) for x in differing(first_landing, _demo("one_more_day"))}
    assert found["mission.surface_stay"] == ("44 h", "68 h")
    supplies = "elements.ascent_stage.supplies"
    assert found[f"{supplies}.urine_and_condensate_storage"] == ("25 kg", "36 kg")
    assert len(found) == 9


def test_an_element_that_one_has_not_is_one_row(first_landing):
    """It is told as a whole, not key by key; ships launched on their own too."""
    found = differing(first_landing, _demo("two_launches"))
    whole = [x for x in found if x.b is not None and x.b.startswith("a table of ")]
    assert [x.key for x in whole if x.key.startswith("ships.")] == ["ships.lander"]
    assert all(x.a is None for x in whole)
    assert all(x.a or x.b for x in found)


def test_events_are_told_beside_their_like(reference_landing):
    """A new duration is one key; an event put in or left out is one row, the others keep theirs."""
    written = reference_landing.events_as_written()
    place = next(i for i, x in enumerate(written) if x["do"] == "stay")
    other = reference_landing.change("events", written)
    assert differing(reference_landing, other) == ()  # stated now, and as they were
    coast = next(i for i, x in enumerate(written) if "duration" in x and i != place)
    longer = [{**x, "duration": "111 min"} if i == coast else x for i, x in enumerate(written)]
    (found,) = differing(reference_landing, reference_landing.change("events", longer))
    assert found == (f"events.{coast}.duration", written[coast]["duration"], "111 min")
    shorter = [x for i, x in enumerate(written) if i != coast]
    (found,) = differing(reference_landing, reference_landing.change("events", shorter))
    assert found == (f"events.{coast}", reference_landing.events[coast].title, None)


def test_tables_are_copies(reference_landing):
    """What is done to them does nothing to the scenario; where parts came from is left out."""
    tables = reference_landing.tables_as_written()
    assert without_origins(tables) == tables
    tables["mission"].clear()
    assert reference_landing.tables_as_written()["mission"]


def _demo(name: str) -> mplan.Scenario:
    return mplan.load(SCENARIOS / f"{name}.toml")
