"""What people type behind a command, and where files are looked for."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

import mplan
from mplan import cli, given, shipped
from mplan.given import tomllib
from mplan.scenario import ScenarioError
from mplan.show import provenance

MISSIONS = Path(__file__).parent / "missions"


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("a.b=3.5", 3.5),
        ("a.b=4", 4),
        ("a.b=-1e3", -1000.0),
        ("a.b=true", True),
        ("a.b=[1, 2]", [1, 2]),
        ('a.b={x = "1 km"}', {"x": "1 km"}),
        ("a.b=2031-05-22", date(2031, 5, 22)),
        ('a.b="190 km"', "190 km"),
        ("a.b='190 km'", "190 km"),
        ("a.b=190 km", "190 km"),
        ("a.b = first_stage ", "first_stage"),
        ("a.b=x=y", "x=y"),
        ("a.b=", None),
    ],
)
def test_values_are_read_as_toml_has_them(text, value):
    """Text may stand without quotes; nothing at all takes the key out."""
    key, read = given.change(text)
    assert key == "a.b"
    assert read == value
    assert type(read) is type(value)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("a.b", "accepted: KEY=VALUE"),
        ("=1", "accepted: KEY=VALUE"),
        ("a.b=[1, 2", "not a TOML value"),
        ('a.b="190 km', "not a TOML value"),
        ("a.b=1\nc=2", "more than one value"),
        ("a.b=x\ny", "not a TOML value"),
        (f"a.b={'[' * 5000}", "not a TOML value"),
        (f"a.b=[{'9' * 5000}]", "not a TOML value"),
    ],
)
def test_what_is_no_value_is_refused(text, said):
    with pytest.raises(ScenarioError, match=said):
        given.change(text)


def test_a_number_and_a_key_taken_out():
    """`aborts.peak_load=3.5` is a number; `key=` gives the scenario without the key."""
    changed = given.scenario(
        str(MISSIONS / "reference_landing.toml"), ["aborts.peak_load=3.5", "recovery="]
    )
    assert changed.aborts.peak_load == 3.5
    assert changed.recovery is None


def test_a_mission_of_the_kit_is_found_by_its_name(tmp_path, monkeypatch):
    """A file that is there goes first; a name that is nobody's is answered with those there are."""
    monkeypatch.chdir(tmp_path)
    assert given.scenario("first_landing", []).mission.name == "First Landing"
    Path("first_landing").write_text("")
    assert given.file("first_landing") == "first_landing"
    with pytest.raises(ScenarioError, match=r"second: no such file; .* first_landing, .*one_more"):
        given.file("second")


@pytest.fixture
def alone(tmp_path):
    """The demo copied away from its hardware."""
    copy = tmp_path / "mine.toml"
    copy.write_bytes(shipped.missions()["first_landing"].read_bytes())
    return copy


def test_a_copied_scenario_takes_hardware_of_the_kit(alone, first_landing):
    """It means the same, wherever it lies, and can be saved under another name."""
    copy = mplan.load(alone)
    assert copy.hash == first_landing.hash
    assert "wainscot_core_stage.toml" in {path.name for path in copy.from_kit}
    assert first_landing.from_kit == ()
    saved = copy.change("mission.payload_down", "10 kg").save(alone.with_name("b.toml"))
    assert '"elements/wainscot_core_stage.toml"' in saved.source.read_text("utf-8")


def test_own_hardware_goes_first(alone):
    """A file beside the scenario is taken; with the kit's it is not mixed up."""
    own = alone.parent / "elements" / "wainscot_core_stage.toml"
    own.parent.mkdir()
    text = (shipped.folder("scenarios") / "elements" / own.name).read_text("utf-8")
    own.write_text(f'label = "Own core"\n{text}', "utf-8")
    copy = mplan.load(alone)
    assert copy.elements["core_stage"].label == "Own core"
    assert own.name not in {path.name for path in copy.from_kit}


def test_both_places_are_named_where_nothing_is_found(alone):
    alone.write_text(alone.read_text("utf-8").replace("wainscot_core", "wainscot_cor"), "utf-8")
    with pytest.raises(ScenarioError) as problem:
        mplan.load(alone)
    said = str(problem.value)
    assert f"{alone.parent.as_posix()}/elements/wainscot_cor_stage.toml" in said
    assert str(shipped.folder("scenarios") / "elements") in said


def test_provenance_tells_whose_hardware_it_is(alone, landing_plan):
    """Only where it is not the file that the scenario names."""
    assert "hardware of the kit" not in provenance.of(landing_plan)


def test_the_catalogue_alone(capsys, tmp_path, monkeypatch):
    """It needs no scenario: each engine with its units, and the cautions, in 100 columns."""
    monkeypatch.chdir(tmp_path)
    assert cli.main(["engines", "--catalogue"]) == 0
    out = capsys.readouterr().out
    for file in (shipped.folder("scenarios") / "engines").glob("*.toml"):
        assert tomllib.loads(file.read_text("utf-8"))["label"] in out
    assert "A planning study, not flight approval." in out
    assert max(map(len, out.splitlines())) <= 100


def test_the_catalogue_beside_a_scenario(capsys):
    assert cli.main(["engines", "--catalogue", str(MISSIONS / "reference_landing.toml")]) == 0
    out = capsys.readouterr().out
    assert "Storable-16" in out
    assert "Dimity-9" not in out


def test_engines_need_one_or_the_other(capsys):
    assert cli.main(["engines"]) == 2
    assert "accepted: a scenario file, or --catalogue" in capsys.readouterr().err
