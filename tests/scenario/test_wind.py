"""The wind of a scenario: its file read, refused with file and line, saved and carried along."""

from __future__ import annotations

from pathlib import Path

import pytest

import mplan
from mplan import ScenarioError
from mplan.physics.climb import optimum
from mplan.scenario.reading.wind_file import read_wind

MISSIONS = Path(__file__).parents[1] / "missions"
HEAD = "altitude [km], speed [m/s], from [deg]\n"
GOOD = f"# invented\n{HEAD}0, 5, 90\n\n10, 50, 270\n"


@pytest.fixture
def windy(tmp_path):
    """The low orbit's scenario with a wind beside it; call with the text of the wind file."""
    text = (MISSIONS / "low_orbit.toml").read_text("utf-8")
    text = text.replace('"elements/', f'"{MISSIONS.as_posix()}/elements/')

    def write(wind: str) -> Path:
        (tmp_path / "day.csv").write_text(wind, "utf-8")
        file = tmp_path / "windy.toml"
        file.write_text(f'{text}\n[climb.wind]\nfrom = "day.csv"\n', "utf-8")
        return file

    return write


def test_rows_are_quantities_with_the_units_of_the_header(tmp_path):
    file = tmp_path / "day.csv"
    file.write_text("altitude [ft], speed [ft/s], from [deg]\n0, 10, 90\n1000, 20, 95\n", "utf-8")
    assert read_wind(str(file)) == [["0 ft", "10 ft/s", "90 deg"], ["1000 ft", "20 ft/s", "95 deg"]]


BROKEN = {
    "": 'climb.wind.from: found "day.csv", found no header; accepted: altitude [km], speed '
    "[m/s], from [deg]",
    "altitude, speed, from\n0, 1, 2\n": 'day.csv:1: found the header "altitude, speed, from"; '
    'accepted: like "altitude [km], speed [m/s], from [deg]"',
    "altitude [mi], speed [m/s], from [deg]\n0, 1, 2\n1, 1, 2\n": "day.csv:1: altitude: found the "
    'unit "mi"; accepted: "m", "km", "ft"',
    f"{HEAD}0, 5, 90\n": "day.csv:2: found 1 rows of wind; accepted: two or more",
    f"{HEAD}0, 5, 90\n1, five, 90\n2, 3\n": 'day.csv:3: found "five" as speed; accepted: a number, '
    "its unit in the header",
    f"{HEAD}0, 5, 90\n1, nan, 90\n": 'day.csv:3: found "nan" as speed; accepted: a number, its '
    "unit in the header",
}


@pytest.mark.parametrize(("text", "message"), BROKEN.items(), ids=range(len(BROKEN)))
def test_a_broken_file_is_told_with_its_line(windy, text, message):
    with pytest.raises(ScenarioError) as caught:
        mplan.load(windy(text))
    told = str(caught.value)
    assert message.removeprefix("day.csv") in told
    assert "day.csv" in told


def test_a_missing_file_is_told_where_it_is_named(windy):
    file = windy(GOOD)
    (file.parent / "day.csv").unlink()
    line = file.read_text("utf-8").splitlines().index('from = "day.csv"') + 1
    with pytest.raises(ScenarioError, match=f'windy.toml:{line}: climb.wind.from: found "day.csv"'):
        mplan.load(file)


def test_altitudes_rise_and_speeds_are_winds(windy):
    """Bounds and order are those of rows in the scenario itself."""
    with pytest.raises(ScenarioError, match=r'found "0 km" after "10 km"; accepted: rising alti'):
        mplan.load(windy(f"{HEAD}0, 5, 90\n10, 50, 270\n0, 3, 80\n"))
    with pytest.raises(ScenarioError, match=r'found "900 m/s", too large; accepted: a speed'):
        mplan.load(windy(f"{HEAD}0, 5, 90\n10, 900, 270\n"))


def test_rows_may_stand_in_the_scenario_too(windy):
    """The same rows by file or by value make the same mission."""
    filed = mplan.load(windy(GOOD))
    rows = [["0 km", "5 m/s", "90 deg"], ["10 km", "50 m/s", "270 deg"]]
    stated = filed.change("climb.wind", {"rows": rows})
    assert stated.climb.wind.rows == filed.climb.wind.rows
    assert stated.hash == filed.hash
    assert filed.change("climb.wind", None).climb.wind is None


def test_it_is_saved_elsewhere(windy, tmp_path):
    """The path is told anew from there, and the wind is the same."""
    there = tmp_path / "deeper"
    there.mkdir()
    scenario = mplan.load(windy(GOOD))
    again = scenario.change("climb.temperature_offset", "5 K").save(there / "again.toml")
    assert again.climb.wind.origin == "../day.csv"
    assert again.climb.wind.rows == scenario.climb.wind.rows
    assert again.climb.temperature_offset == 5.0


def test_the_climb_is_flown_in_it(windy, monkeypatch):
    """Air and wind of the scenario are those of the launch, and the track feels them."""
    scenario = mplan.load(windy(GOOD)).change("climb.day", "cold")
    calm = scenario.change("climb.wind", None)
    flown, still = (mplan.fly(x).flight.end.climb for x in (scenario, calm))
    assert flown.launch.weather.day.name == "cold"
    assert flown.launch.weather.wind[1].east == pytest.approx(50.0)
    assert flown.most_load.value > 3.0 * still.most_load.value
    assert flown.most_dynamic_pressure.value < 0.95 * still.most_dynamic_pressure.value  # tail wind
    assert optimum.climb_like(flown.vehicle, flown.launch, flown) is flown
