"""A file becomes a Scenario in SI, whole and unchanging; elements come in from files of theirs."""

import pickle
from datetime import date
from math import radians
from pathlib import Path

import pytest
from pydantic import ValidationError

from mplan.scenario import load


def test_values_are_si(landing):
    stage = landing.elements["first_stage"]
    lift = stage.engines["lift"]
    assert landing.orbits.parking_altitude == 185e3
    assert landing.launch_site.latitude == radians(-19.98)
    assert landing.dates.launch_day == date(2031, 5, 14)
    assert landing.margins.burns == {"translunar injection": 0.01}
    assert (stage.dry_mass, stage.tanks["oxygen"].load) == (118e3, 1330e3)
    assert (lift.count, lift.thrust_vacuum, lift.isp_vacuum, lift.mixture_ratio) == (
        7,
        5450e3,
        326.0,
        2.5,
    )
    assert landing.elements["crew_module"].power.stored_energy == 40 * 3.6e6


def test_what_may_be_left_out(landing):
    assert (landing.orbits.parking_revolutions, landing.orbits.approach) == (1, "retrograde")
    assert landing.orbits.capture_apolune is None
    assert landing.mission.payload_up == 0.0
    assert landing.landing_site.elevation == 0.0
    assert landing.elements["crew_module"].supplies.potable_water == 0.0
    assert landing.elements["first_stage"].engines["lift"].purpose == "main"
    assert landing.elements["first_stage"].engines["lift"].settling_required is False


def test_order_is_kept(landing):
    assert landing.stack[0] == "first_stage"
    assert tuple(landing.elements) == landing.stack


def test_words_imperial_units_and_a_time_of_day(folder):
    orbit = load("orbit.toml")
    assert orbit.mission.crew_mass == pytest.approx(243 * 0.45359237, rel=1e-15)
    assert orbit.mission.lunar_orbit_stay == 72000.0
    assert orbit.orbits.parking_altitude == 185200.0
    assert orbit.dates.launch_day == date(2031, 5, 14)


def test_a_time_of_day_counts_in_utc(edit):
    edit("2031-05-14T06:00:00Z", "2031-05-14T22:00:00-05:00", "orbit.toml")
    assert load("orbit.toml").dates.launch_day == date(2031, 5, 15)


def test_source_and_string_paths(folder):
    assert load("landing.toml").source == Path("landing.toml")
    assert load(folder / "landing.toml").source == folder / "landing.toml"


def test_element_from_its_own_file(landing):
    stage = landing.elements["descent_stage"]
    assert stage.origin == "elements/descent.toml"
    assert landing.elements["ascent_stage"].origin is None
    assert stage.dry_mass == 2200.0  # overridden
    assert stage.length == 3.3  # from the file


def test_override_reaches_into_a_table_of_the_element_file(edit):
    text = 'from = "elements/descent.toml"\n'
    edit(text, text + 'tanks.MMH.load = "3.3 t"\nengines.main.label = "Ascent engine"\n')
    stage = load("landing.toml").elements["descent_stage"]
    assert stage.tanks["MMH"].load == 3300.0
    assert stage.tanks["MMH"].propellant == "MMH"
    assert stage.tanks["NTO"].load == 5580.0
    assert (stage.engines["main"].label, stage.engines["main"].count) == ("Ascent engine", 1)


def test_nothing_can_be_assigned(landing):
    with pytest.raises(ValidationError, match="frozen"):
        landing.stack = ()
    with pytest.raises(ValidationError, match="frozen"):
        landing.orbits.parking_altitude = 1.0


def test_equal_files_make_equal_scenarios(folder):
    assert load("landing.toml") == load("landing.toml")
    assert load("landing.toml") != load("orbit.toml")


def test_travels_to_another_process(landing):
    again = pickle.loads(pickle.dumps(landing))
    assert again == landing
    assert again.change("mission.crew", 2).mission.crew == 2


def test_hash_is_of_what_is_meant(folder, edit):
    before = load("landing.toml").hash
    edit("# east positive", "# eastward")
    assert load("landing.toml").hash == before
    edit('"185 km"', '"186 km"')
    assert load("landing.toml").hash != before


def test_hash_does_not_ask_which_file_a_value_came_from(folder, edit):
    before = load("landing.toml").hash
    edit('length = "3.3 m"\n', "", "elements/descent.toml")
    edit("[elements.descent_stage]\n", '[elements.descent_stage]\nlength = "3.3 m"\n')
    assert load("landing.toml").hash == before


def test_windows_line_ends_and_byte_order_mark(folder):
    path = folder / "landing.toml"
    text = path.read_bytes().replace(b"\n", b"\r\n")
    before = load(path)
    path.write_bytes(b"\xef\xbb\xbf" + text)
    assert load(path).hash == before.hash
