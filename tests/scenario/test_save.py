"""What is saved reads back as the same scenario, with every comment; or nothing is written."""

import os
import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mplan.scenario import ScenarioError, load, saving
from mplan.scenario.dates import FIRST_DAY, LAST_DAY
from mplan.scenario.profiles import default_events


def _meaning(scenario):
    return scenario.model_dump(exclude={"elements": {"__all__": {"origin"}}})


def _comments(text):
    return re.findall(r"#.*", text)


def test_without_changes_the_text_stays_as_it_is(folder):
    before = (folder / "landing.toml").read_bytes()
    load("landing.toml").save("copy.toml")
    assert (folder / "copy.toml").read_bytes() == before


def test_only_the_changed_lines_differ(folder):
    before = (folder / "landing.toml").read_text(encoding="utf-8").split("\n")
    scenario = load("landing.toml").change(
        {"mission.crew_mass": "112 kg", "elements.ascent_stage.tanks.hydrazine.load": "3 t"}
    )
    saved = scenario.save("landing.toml")
    after = (folder / "landing.toml").read_text(encoding="utf-8").split("\n")
    assert [line for line in after if line not in before] == [
        'crew_mass = "112 kg"             # each',
        'tanks = { hydrazine = { propellant = "hydrazine", load = "3 t" } }',
    ]
    assert len(after) == len(before)
    assert saved == load("landing.toml")
    assert saved.changes == ()


def test_the_saved_scenario_is_of_the_new_file(folder):
    saved = load("landing.toml").change("mission.crew", 2).save("other.toml")
    assert str(saved.source) == "other.toml"
    assert load("landing.toml").mission.crew == 3


NEW_KEYS = {
    "behind the last key of its table, before the next section's comment": (
        "elements.descent_stage.seats",
        2,
        "# heavier than the design it comes from\nseats = 2\n\n# the ascent stage is",
    ),
    "at the top level of a table": (
        "orbits.capture_apolune",
        "310 km",
        '# at 121.92 km\ncapture_apolune = "310 km"\n\n[margins]',
    ),
    "with a quoted name": (
        "margins.burns.lunar ascent",
        "3 %",
        '"translunar injection" = "1 %"\n"lunar ascent" = "3 %"\n\n[allowances]',
    ),
    "in a table of its own, behind its element": (
        "elements.service_module.supplies.potable_water",
        "10 kg",
        'mixture_ratio = 1.8\n\n[elements.service_module.supplies]\npotable_water = "10 kg"\n\n'
        "[elements.crew_module]",
    ),
    "among dotted keys": (
        "elements.crew_module.supplies.potable_water",
        "10 kg",
        'supplies.packed_food = "52 kg"\nsupplies.potable_water = "10 kg"',
    ),
    "as the override of an element file": (
        "elements.descent_stage.tanks.MMH.load",
        "3 t",
        "# heavier than the design it comes from\n\n[elements.descent_stage.tanks.MMH]\n"
        'load = "3 t"\n\n# the ascent stage is',
    ),
    "at the very end": (
        "elements.escape_tower.label",
        "Tower",
        'diameter = "1.2 m"\nlabel = "Tower"\n',
    ),
}


@pytest.mark.parametrize(("key", "value", "text"), NEW_KEYS.values(), ids=NEW_KEYS)
def test_new_key_goes(folder, key, value, text):
    before = (folder / "landing.toml").read_text(encoding="utf-8")
    scenario = load("landing.toml").change(key, value)
    scenario.save("landing.toml")
    after = (folder / "landing.toml").read_text(encoding="utf-8")
    assert text in after
    assert _comments(after) == _comments(before)
    assert _meaning(load("landing.toml")) == _meaning(scenario)


def test_new_key_goes_into_an_inline_table(folder, edit):
    edit(
        'supplies.oxygen = "36 kg"\nsupplies.packed_food = "52 kg"',
        'supplies = { packed_food = "52 kg" } # all',
    )
    key = "elements.crew_module.supplies.potable_water"
    load("landing.toml").change(key, "9 kg").save("landing.toml")
    after = (folder / "landing.toml").read_text(encoding="utf-8")
    assert 'supplies = { packed_food = "52 kg", potable_water = "9 kg"} # all\n' in after


def test_new_table_with_several_keys(folder):
    power = {"stored_energy": "1 kWh", "supply": "0 W", "load": "10 W"}
    load("landing.toml").change("elements.lander_bay.power", power).save("landing.toml")
    after = (folder / "landing.toml").read_text(encoding="utf-8")
    assert (
        '\n[elements.lander_bay.power]\nstored_energy = "1 kWh"\nsupply = "0 W"\nload = "10 W"\n'
        "\n[elements.descent_stage]"
    ) in after


def test_a_key_taken_out(folder):
    load("landing.toml").change("elements.ascent_stage.seats", None).save("landing.toml")
    after = (folder / "landing.toml").read_text(encoding="utf-8")
    assert 'inside = "lander_bay"\ntanks = {' in after


def test_events_given_as_a_whole(folder):
    scenario = load("landing.toml")  # which leaves its events to the profile
    events = default_events(scenario._data)
    stated = scenario.change("events", events)
    saved = stated.save("stated.toml")
    assert saved.events == scenario.events
    assert (folder / "stated.toml").read_text(encoding="utf-8").count("[[events]]") == 35
    shorter = [each for each in events if each.get("name") != "checks in lunar orbit"]
    again = saved.change("events", shorter).save("stated.toml")
    assert len(again.events) == 34
    assert (folder / "stated.toml").read_text(encoding="utf-8").count("[[events]]") == 34


def test_value_inside_an_event(folder, state_events):
    state_events()
    load("landing.toml").change("events.9.duration", "30 h").save("landing.toml")
    assert load("landing.toml").events[9].duration == 108e3


def test_element_files_are_found_from_another_folder(folder):
    (folder / "plans" / "old").mkdir(parents=True)
    scenario = load("landing.toml")
    saved = scenario.save(folder / "plans" / "old" / "copy.toml")
    assert saved.elements["descent_stage"].origin == "../../elements/descent.toml"
    assert _meaning(saved) == _meaning(scenario)


def test_windows_line_ends_stay(folder):
    path = folder / "landing.toml"
    path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))
    load(path).change({"mission.crew_mass": "112 kg", "elements.lander_bay.seats": 1}).save(path)
    text = path.read_bytes()
    assert text.count(b"\n") == text.count(b"\r\n")
    assert b'crew_mass = "112 kg"' in text


def test_permissions_stay(folder):
    os.chmod("landing.toml", 0o640)
    load("landing.toml").change("mission.crew", 2).save("landing.toml")
    assert os.stat("landing.toml").st_mode & 0o777 == 0o640


def test_a_link_stays_a_link(folder):
    (folder / "link.toml").symlink_to("landing.toml")
    load("landing.toml").change("mission.crew", 2).save("link.toml")
    assert (folder / "link.toml").is_symlink()
    assert load("landing.toml").mission.crew == 2


@pytest.mark.parametrize("failing", ["fsync", "replace"])
def test_a_failure_leaves_the_old_file_and_nothing_else(folder, monkeypatch, failing):
    before, names = (folder / "landing.toml").read_bytes(), sorted(os.listdir())

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(saving.os, failing, full)
    with pytest.raises(OSError, match="No space left"):
        load("landing.toml").change("mission.crew", 2).save("landing.toml")
    assert (folder / "landing.toml").read_bytes() == before
    assert sorted(os.listdir()) == names


def test_refuses_what_would_read_back_differently(folder, monkeypatch):
    before, names = (folder / "landing.toml").read_bytes(), sorted(os.listdir())
    monkeypatch.setattr(saving, "_edited", lambda text, changes: text)
    with pytest.raises(ScenarioError, match="cannot be written into this file's text"):
        load("landing.toml").change("mission.crew", 2).save("landing.toml")
    assert (folder / "landing.toml").read_bytes() == before
    assert sorted(os.listdir()) == names


def test_refuses_to_take_out_what_an_element_file_states(folder):
    changed = load("landing.toml").change("elements.descent_stage.inside", None)
    with pytest.raises(ScenarioError, match="cannot be written into this file's text"):
        changed.save("landing.toml")


def test_refuses_a_file_edited_meanwhile(folder, edit):
    scenario = load("landing.toml").change("mission.crew", 2)
    edit("# each", "# each of them")
    with pytest.raises(ScenarioError, match=r"^landing.toml: edited since it was read"):
        scenario.save("landing.toml")
    assert scenario.save("other.toml").mission.crew == 2


def test_refuses_to_overwrite_an_element_file(folder):
    before = (folder / "elements" / "descent.toml").read_bytes()
    with pytest.raises(ScenarioError, match="this is an element file"):
        load("landing.toml").save("elements/descent.toml")
    assert (folder / "elements" / "descent.toml").read_bytes() == before


CHANGES = st.fixed_dictionaries(
    {},
    optional={
        "mission.crew_mass": st.integers(50, 200).map("{} kg".format),
        "mission.name": st.text(
            st.characters(codec="utf-8", exclude_categories=("Cs", "Cc")), min_size=1, max_size=12
        ),
        "mission.payload_up": st.integers(0, 99).map("{} kg".format),
        "orbits.parking_altitude": st.floats(150, 2000).map("{} km".format),
        "margins.burns.lunar ascent": st.integers(0, 100).map("{} %".format),
        "elements.descent_stage.tanks.NTO.load": st.integers(1, 9).map("{} t".format),
        "elements.descent_stage.label": st.text("abc #\"'\\[]=é", min_size=1, max_size=8),
        "elements.ascent_stage.tanks.hydrazine.load": st.integers(1, 9).map("{} t".format),
        "elements.crew_module.supplies.potable_water": st.integers(0, 9).map("{} kg".format),
        "elements.first_stage.engines.lift.mixture_ratio": st.floats(1, 9),
        "elements.transfer_stage.engines.main.settling_required": st.booleans(),
        "dates.launch_day": st.dates(min_value=FIRST_DAY, max_value=LAST_DAY),
        "elements.ascent_stage.seats": st.none(),
    },
)


@pytest.fixture(scope="module")
def shelf(tmp_path_factory):
    """One folder for all examples of the property below, and the mission to change."""
    text = Path(__file__).parent / "data" / "landing.toml"
    return tmp_path_factory.mktemp("shelf"), load(text)


@settings(max_examples=25, deadline=None)
@given(changes=CHANGES)
def test_change_save_load_is_the_change(shelf, changes):
    folder, scenario = shelf
    changed = scenario.change(changes)
    changed.save(folder / "saved.toml")
    again = load(folder / "saved.toml")
    assert _meaning(again) == _meaning(changed)
    assert again.hash == changed.hash
    saved = (folder / "saved.toml").read_text(encoding="utf-8")
    for comment in _comments(scenario.source.read_text(encoding="utf-8")):
        assert comment in saved
