"""A change makes a new scenario; the old one, its file and its tables stay as they were."""

import pytest

from mplan.scenario import ScenarioError, load


def test_makes_a_new_scenario_and_keeps_the_old(landing):
    before = landing.model_dump()
    changed = landing.change("orbits.parking_altitude", "190 km")
    assert changed.orbits.parking_altitude == 190e3
    assert landing.model_dump() == before
    assert landing.changes == ()


@pytest.mark.parametrize(
    ("key", "value", "reached"),
    [
        ("mission.crew", 4, lambda s: s.mission.crew == 4),
        ("stack.7", "escape_tower", lambda s: s.stack[7] == "escape_tower"),
        ("launch_site.pad.door_height", "90 m", lambda s: s.launch_site.pad.door_height == 90),
        ("dates.launch_day", "2031-06-01", lambda s: s.dates.launch_day.month == 6),
        ("margins.burns.climb", "3 %", lambda s: s.margins.burns["climb"] == 0.03),
        (
            "elements.transfer_stage.tanks.oxygen.load",
            "80 t",
            lambda s: s.elements["transfer_stage"].tanks["oxygen"].load == 80e3,
        ),
        (
            "elements.descent_stage.tanks.MMH.load",
            "3 t",
            lambda s: s.elements["descent_stage"].tanks["MMH"].load == 3e3,
        ),
        (
            "elements.lander_bay.power",
            {"stored_energy": "1 kWh", "supply": "0 W", "load": "10 W"},
            lambda s: s.elements["lander_bay"].power.load == 10,
        ),
    ],
)
def test_reaches_every_depth(landing, key, value, reached):
    assert reached(landing.change(key, value))


def test_event_by_its_index(folder, state_events):
    state_events()
    changed = load("landing.toml").change("events.9.duration", "30 h")
    assert changed.events[9].duration == 108e3


def test_several_at_once(landing):
    changed = landing.change({"mission.crew": 2, "mission.landing_crew": 1})
    assert (changed.mission.crew, changed.mission.landing_crew) == (2, 1)


def test_events_of_the_profile_follow(landing):
    legs = [getattr(event, "leg", None) for event in landing.events]
    changed = landing.change("orbits.capture_apolune", "310 km")
    more = [getattr(event, "leg", None) for event in changed.events]
    assert "lunar-orbit circularisation" in more
    assert "lunar-orbit circularisation" not in legs


def test_none_takes_a_key_out(landing):
    with_seats = landing.change("elements.ascent_stage.seats", None)
    assert with_seats.elements["ascent_stage"].seats == 0
    with pytest.raises(ScenarioError, match=r"^changed value: mission.crew: missing; write"):
        landing.change("mission.crew", None)


def test_there_and_back_is_the_same_scenario(landing):
    back = landing.change("mission.crew", 2).change("mission.crew", 3)
    assert back == landing
    assert back.hash == landing.hash
    assert back.changes == ()


def test_the_value_given_is_copied(landing):
    power = {"stored_energy": "1 kWh", "supply": "0 W", "load": "10 W"}
    changed = landing.change("elements.lander_bay.power", power)
    power["load"] = "20 W"
    assert changed.change("mission.crew", 2).elements["lander_bay"].power.load == 10


def test_lists_what_differs_from_the_file(landing):
    changed = landing.change(
        {
            "orbits.parking_altitude": "190 km",
            "margins.burns.climb": "3 %",
            "elements.ascent_stage.seats": None,
        }
    )
    assert [str(change) for change in changed.changes] == [
        'orbits.parking_altitude: "185 km" -> "190 km"',
        'margins.burns.climb: nothing -> "3 %"',
        "elements.ascent_stage.seats: 2 -> nothing",
    ]


def test_a_difference_in_a_list_of_events(folder, state_events):
    state_events()
    changed = load("landing.toml").change("events.9.duration", "30 h")
    assert [str(change) for change in changed.changes] == ['events.9.duration: "24 h" -> "30 h"']


REFUSED = [
    (
        "orbits.parking_altitude",
        190e3,
        "changed value: orbits.parking_altitude: found 190000.0, a bare number; accepted: "
        'a length with its unit, from 150 km to 2000 km, like "185 km"',
    ),
    (
        "orbit.parking_altitude",
        "190 km",
        'changed value: orbit: unknown key; did you mean "orbits"?',
    ),
    (
        "elements.transfer_stge.dry_mass",
        "11 t",
        'changed value: elements.transfer_stge.dry_mass: nothing is called "transfer_stge"; '
        'did you mean "transfer_stage"?',
    ),
    (
        "elements.transfer_stage.tanks.oxigen.load",
        "11 t",
        "changed value: elements.transfer_stage.tanks.oxigen.load: nothing is called "
        '"oxigen"; did you mean "oxygen"?',
    ),
    (
        "elements.descent_stage.from",
        "elements/other.toml",
        "changed value: elements.descent_stage.from: a new file is taken in by editing the "
        "scenario file, not by a change",
    ),
    (
        "stack.8",
        "x",
        "changed value: stack.8: found 8; accepted: an index from 0 to 7",
    ),
    (
        "stack.first",
        "x",
        "changed value: stack.first: found first; accepted: an index from 0 to 7",
    ),
    (
        "mission.crew.size",
        3,
        "changed value: mission.crew.size: mission.crew is 3, with nothing inside",
    ),
    (
        "events.3.duration",
        "3 h",
        "changed value: events.3.duration: the events follow from the profile; write them into "
        "the file to change one",
    ),
]


@pytest.mark.parametrize(("key", "value", "line"), REFUSED)
def test_refuses(landing, key, value, line):
    with pytest.raises(ScenarioError, match=r"^changed value: ") as caught:
        landing.change(key, value)
    assert str(caught.value) == line


def test_what_a_change_makes_wrong_elsewhere_names_the_file(folder):
    with pytest.raises(ScenarioError, match="azimuth") as caught:
        load("landing.toml").change("launch_site.azimuth_min", "80 deg")
    assert str(caught.value) == (
        'landing.toml:35: launch_site.azimuth: found "76 deg"; accepted: at least '
        'launch_site.azimuth_min, "80 deg"'
    )


@pytest.mark.parametrize(
    ("key", "text"),
    [
        ("orbits.parking_altitud", 'unknown key; did you mean "parking_altitude"'),
        ("orbits.parking.altitude", "orbits.parking: unknown key"),
        ("recoveries", "unknown key"),
        ("elements.ascent_stage.seat", "unknown key"),
    ],
)
def test_what_is_taken_out_has_to_be_a_key(landing, key, text):
    """A misspelt key that is taken out would change nothing, and nobody would know."""
    with pytest.raises(ScenarioError, match=text):
        landing.change(key, None)


def test_a_key_that_is_not_stated_may_be_taken_out(landing):
    assert landing.change({"recovery": None, "orbits.capture_apolune": None}).changes == ()


@pytest.mark.parametrize("path", [5, None, ["landing.toml"], b"landing.toml"])
def test_what_is_no_path_is_refused(path):
    with pytest.raises(ScenarioError, match=r"file: found .*; accepted: the path of a file"):
        load(path)
