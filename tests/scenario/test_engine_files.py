"""Engines in files of their own: taken in, overridden, refused by file, line and key, saved."""

from __future__ import annotations

import re
import sys
from pathlib import Path

import jsonschema
import pytest

from mplan.scenario import ScenarioError, catalogue, load, schema

if sys.version_info >= (3, 11):
    import tomllib
else:
    import tomli as tomllib

MISSIONS = Path(__file__).parents[1] / "missions"
FILES = sorted(MISSIONS.glob("engines/*.toml"))
KEROSENE = """\
#:schema ../engine.schema.json
label = "Twill-3"
propellants = ["kerosene", "liquid oxygen"]
mixture_ratio = 2.5
thrust_vacuum = "3 MN"
isp_vacuum = "320 s"
starts = 1
qualified_duration = "300 s"
mass = "3 t"
delivery_time = "6 months"
"""
MOUNTED = """
[tanks.kerosene]
propellant = "kerosene"
load = "400 t"

[tanks.oxygen]
propellant = "liquid oxygen"
load = "1000 t"

[engines.lift]
from = "../engines/twill_3.toml"
count = 9
fuel = "kerosene"
oxidiser = "oxygen"
"""
STAGE = 'role = "launch stage"\ndry_mass = "118 t"\nlength = "42 m"\ndiameter = "9 m"\n' + MOUNTED


@pytest.fixture
def mounted(folder):
    """The landing mission, its first stage and that stage's engine in files of their own."""
    (folder / "engines").mkdir()
    (folder / "engines" / "twill_3.toml").write_text(KEROSENE, encoding="utf-8")
    (folder / "elements" / "stage.toml").write_text(STAGE, encoding="utf-8")
    path = folder / "landing.toml"
    text = path.read_text(encoding="utf-8")
    before, _, rest = text.partition("[elements.first_stage]\n")
    _, header, after = rest.partition("[elements.transfer_stage]\n")
    assert header
    new = '[elements.first_stage]\nfrom = "elements/stage.toml"\n'
    path.write_text(before + new + "\n" + header + after, encoding="utf-8")
    return folder


def lift(scenario):
    return scenario.elements["first_stage"].engines["lift"]


def test_taken_in(mounted):
    """The engine is of its file, its count and tanks of the element; a month is 30.4375 d."""
    engine = lift(load("landing.toml"))
    assert (engine.label, engine.count, engine.fuel) == ("Twill-3", 9, "kerosene")
    assert engine.thrust_vacuum == 3e6
    assert engine.origin == "../engines/twill_3.toml"
    assert engine.delivery_time == 6 * 30.4375 * 86400.0


def test_overridden(mounted, edit):
    """Keys of the element lie over the engine's file, those of the scenario over both."""
    edit("count = 9", 'count = 8\nisp_vacuum = "318 s"', "elements/stage.toml")
    edit(
        'from = "elements/stage.toml"',
        'from = "elements/stage.toml"\nengines.lift.qualified_duration = "250 s"\n'
        "engines.lift.count = 7",
    )
    engine = lift(load("landing.toml"))
    assert (engine.count, engine.isp_vacuum, engine.qualified_duration) == (7, 318.0, 250.0)
    assert engine.thrust_vacuum == 3e6


def test_another_engine_file_from_the_scenario(mounted, edit):
    """A `from` in the scenario file is seen from there, and takes the place of the element's."""
    other = KEROSENE.replace("Twill-3", "Twill-4").replace("3 MN", "4 MN")
    (mounted / "twill_4.toml").write_text(other, encoding="utf-8")
    line = 'from = "elements/stage.toml"'
    edit(line, f'{line}\nengines.lift.from = "twill_4.toml"')
    engine = lift(load("landing.toml"))
    assert (engine.label, engine.thrust_vacuum, engine.count) == ("Twill-4", 4e6, 9)


WRONG = {
    "unit": (
        ('"320 s"', '"320 kg"', "engines/twill_3.toml"),
        'engines/twill_3.toml:6: elements.first_stage.engines.lift.isp_vacuum: found "320 kg"',
    ),
    "misspelt key": (
        ("qualified_duration", "qualified_duraton", "engines/twill_3.toml"),
        "engines/twill_3.toml:8: elements.first_stage.engines.lift.qualified_duraton: unknown key; "
        'did you mean "qualified_duration", which is missing?',
    ),
    "not TOML": (
        ('"3 MN"', "3 MN", "engines/twill_3.toml"),
        "engines/twill_3.toml:5: not valid TOML: ",
    ),
    "no such file": (
        ("twill_3.toml", "twill_9.toml", "elements/stage.toml"),
        "elements/stage.toml:15: elements.first_stage.engines.lift.from: "
        'found "../engines/twill_9.toml", no such file',
    ),
    "file from a file": (
        ("mass =", 'from = "other.toml"\nmass =', "engines/twill_3.toml"),
        "engines/twill_3.toml:9: from: an engine file cannot take in another",
    ),
    "tank of an element": (
        ("mass =", 'fuel = "kerosene"\nmass =', "engines/twill_3.toml"),
        "engines/twill_3.toml:9: fuel: belongs to the element that mounts the engine; "
        "leave it out here",
    ),
    "wrong pair": (
        ('propellant = "kerosene"', 'propellant = "liquid hydrogen"', "elements/stage.toml"),
        "elements/stage.toml:17: elements.first_stage.engines.lift.fuel: found "
        '"kerosene", a tank of liquid hydrogen; Twill-3 burns kerosene with liquid oxygen',
    ),
    "unknown propellant": (
        ('["kerosene"', '["kerosine"', "engines/twill_3.toml"),
        "engines/twill_3.toml:3: elements.first_stage.engines.lift.propellants.0: "
        'unknown "kerosine"; did you mean "kerosene"?',
    ),
}


@pytest.mark.parametrize(("change", "line"), WRONG.values(), ids=WRONG)
def test_one_clear_message(mounted, edit, complaints, change, line):
    """File, line and key of the file that is to be put right, and nothing that follows from it."""
    edit(*change)
    (told,) = complaints()
    assert told.startswith(line)


def test_length_of_a_build_follows_from_the_engine_file(mounted, edit):
    """What a build needs of an engine may stand in the engine's file."""
    edit('length = "42 m"\n', "", "elements/stage.toml")
    edit(
        "[tanks.kerosene]",
        '[build]\narrangement = "separate"\n\n[tanks.kerosene]',
        "elements/stage.toml",
    )
    with pytest.raises(ScenarioError, match=r"engines\.lift\.length: missing"):
        load("landing.toml")
    edit("mass =", 'length = "3 m"\nmass =', "engines/twill_3.toml")
    assert lift(load("landing.toml")).length == 3.0


def test_saved_and_read_back(mounted):
    """A change of an engine goes into the scenario file; the engine's own file stays as it is."""
    before = (mounted / "engines" / "twill_3.toml").read_bytes()
    key = "elements.first_stage.engines.lift.isp_vacuum"
    saved = load("landing.toml").change(key, "319 s").save("landing.toml")
    assert lift(saved).isp_vacuum == 319.0
    assert saved.changes == ()
    assert (mounted / "engines" / "twill_3.toml").read_bytes() == before


def test_saved_elsewhere(mounted, edit):
    """An engine that the scenario itself names is found from the new folder too."""
    (mounted / "twill_4.toml").write_text(KEROSENE.replace("-3", "-4"), encoding="utf-8")
    line = 'from = "elements/stage.toml"'
    edit(line, f'{line}\nengines.lift.from = "twill_4.toml"')
    (mounted / "deeper").mkdir()
    saved = load("landing.toml").save("deeper/landing.toml")
    assert lift(saved).label == "Twill-4"
    assert lift(saved).origin == "../twill_4.toml"


def test_an_engine_file_is_not_overwritten(mounted):
    with pytest.raises(ScenarioError, match="this is an engine file that the scenario takes in"):
        load("landing.toml").save("engines/twill_3.toml")


def test_the_hash_does_not_ask_where_an_engine_comes_from(mounted, edit):
    """The same engine written into the element is the same scenario."""
    before = load("landing.toml").hash
    body = KEROSENE.partition("\n")[2]
    edit('from = "../engines/twill_3.toml"\n', body, "elements/stage.toml")
    assert load("landing.toml").hash == before


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_the_catalogue(path):
    """Every file satisfies the schema that its first line names, and says what trades ask for."""
    validator = jsonschema.Draft202012Validator(schema.engine_schema())
    text = path.read_text(encoding="utf-8")
    header = re.match(r"#:schema (\S+)\n", text)
    assert (path.parent / header[1]).resolve().name == "engine.schema.json"
    data = tomllib.loads(text)
    assert list(validator.iter_errors(data)) == []
    assert {"label", "propellants", "mass", "unit_cost", "delivery_time", "length"} <= set(data)


def test_the_catalogue_is_read_in_order():
    found = catalogue.read(MISSIONS / "engines")
    assert [Path(each.file) for each in found] == FILES
    assert len({each.name for each in found}) == len(FILES) >= 14


def test_losses_in_air_follow_from_the_nozzle():
    """Thrust and specific impulse fall by the same factor at sea level: the flow is one."""
    for each in catalogue.read(MISSIONS / "engines"):
        engine = each.engine
        if engine.thrust_sea_level is not None:
            thrusts = engine.thrust_sea_level / engine.thrust_vacuum
            # two digits fewer in the specific impulse than in the thrust
            assert engine.isp_sea_level / engine.isp_vacuum == pytest.approx(thrusts, rel=2e-3)


def test_all_that_is_wrong_in_a_catalogue(mounted):
    """Each file's faults at once, each with its line; a folder without engines says so."""
    (mounted / "engines" / "a.toml").write_text("count = 2\n" + KEROSENE, encoding="utf-8")
    bad = KEROSENE.replace('"3 MN"', "3")
    (mounted / "engines" / "b.toml").write_text(bad, encoding="utf-8")
    with pytest.raises(ScenarioError, match="belongs to the element") as caught:
        catalogue.read("engines")
    lines = str(caught.value).split("\n")
    assert [line.partition(": ")[0] for line in lines] == ["engines/a.toml:1", "engines/b.toml:5"]
    with pytest.raises(ScenarioError, match=r"elements/none: no engine files \(\*\.toml\) here"):
        catalogue.read("elements/none")


def test_schema_of_elements_knows_engines_taken_in():
    """With `from`, an engine need not state what its file does; without it must."""
    validator = jsonschema.Draft202012Validator(schema.element_schema())
    assert list(validator.iter_errors(tomllib.loads(STAGE))) == []
    bare = tomllib.loads(STAGE.replace('from = "../engines/twill_3.toml"\n', ""))
    (error,) = [each for each in validator.iter_errors(bare) if "'starts'" in each.message]
    assert "is a required property" in error.message
    wrong = tomllib.loads(STAGE.replace("count = 9", "count = 9\nthrst = 3"))
    (error,) = validator.iter_errors(wrong)
    assert "'thrst' was unexpected" in error.message
