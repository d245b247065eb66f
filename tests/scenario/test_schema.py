"""The schemas for editors are current, accept good files and point at the usual slips."""

import re
import sys
from datetime import date, datetime
from pathlib import Path

import jsonschema
import pytest

from mplan.physics.propellants import PROPELLANTS
from mplan.scenario import schema

if sys.version_info >= (3, 11):
    import tomllib
else:
    import tomli as tomllib

DATA = Path(__file__).parent / "data"
SCENARIO = jsonschema.Draft202012Validator(schema.scenario_schema())
ELEMENT = jsonschema.Draft202012Validator(schema.element_schema())


def _parsed(text):
    """Read TOML as an editor's checker sees it: dates are text there."""

    def plain(value):
        if isinstance(value, dict):
            return {key: plain(each) for key, each in value.items()}
        if isinstance(value, list):
            return [plain(each) for each in value]
        return value.isoformat() if isinstance(value, (date, datetime)) else value

    return plain(tomllib.loads(text))


def _complaints(validator, text):
    return [error.message for error in validator.iter_errors(_parsed(text))]


def _landing(old="", new=""):
    text = (DATA / "landing.toml").read_text(encoding="utf-8")
    assert old in text
    return text.replace(old, new, 1)


@pytest.mark.parametrize(("path", "text"), schema.files().items())
def test_files_in_the_package_are_current(path, text):
    # If this fails: python -m mplan.scenario.schema
    assert path.read_text(encoding="utf-8") == text


@pytest.mark.parametrize("validator", [SCENARIO, ELEMENT], ids=["scenario", "element"])
def test_schemas_are_schemas(validator):
    validator.check_schema(validator.schema)


@pytest.mark.parametrize("name", ["landing", "orbit", "flyby"])
def test_accepts_scenarios(name):
    text = (DATA / f"{name}.toml").read_text(encoding="utf-8")
    assert _complaints(SCENARIO, text) == []


def test_accepts_events(folder, state_events):
    state_events()
    text = (folder / "landing.toml").read_text(encoding="utf-8")
    assert "[[events]]" in text
    assert _complaints(SCENARIO, text) == []


def test_accepts_an_element_file():
    text = (DATA / "elements" / "descent.toml").read_text(encoding="utf-8")
    assert _complaints(ELEMENT, text) == []


def test_accepts_overrides_deep_in_an_element_taken_in():
    old = 'dry_mass = "2.2 t"'
    assert _complaints(SCENARIO, _landing(old, f'{old}\ntanks.MMH.load = "3 t"')) == []


REJECTED = {
    "misspelt key": (
        'dry_mass = "118 t"',
        'dry_mass = "118 t"\nlable = "x"',
        "'lable' was unexpected",
    ),
    "missing key": ("crew = 3", "", "'crew' is a required property"),
    "missing key of an element": ('dry_mass = "118 t"', "", "'dry_mass' is a required property"),
    "bare number": ('"185 km"', "185", "185 is not of type 'string'"),
    "text without a unit": ('"185 km"', '"185"', "'185' does not match"),
    "unknown choice": ('"adapter"', '"adaptor"', "'adaptor' is not one of"),
    "unknown burn": ('"translunar injection" =', "tli =", "'tli' is not one of"),
    "misspelt key beside from": ('dry_mass = "2.2 t"', 'dry_mas = "2.2 t"', "'dry_mas' was"),
    "fraction of an engine": ("count = 7", "count = 7.5", "7.5 is not of type 'integer'"),
}


@pytest.mark.parametrize(("old", "new", "message"), REJECTED.values(), ids=REJECTED)
def test_rejects(old, new, message):
    complaints = _complaints(SCENARIO, _landing(old, new))
    assert len(complaints) == 1
    assert message in complaints[0]


def test_rejects_a_missing_key_in_an_element_file():
    text = (DATA / "elements" / "descent.toml").read_text(encoding="utf-8")
    without = text.replace('role = "descent stage"\n', "")
    assert _complaints(ELEMENT, without) == ["'role' is a required property"]


def _fields(node, path=""):
    """Yield every property of a schema with its dotted path."""
    if isinstance(node, dict):
        for name, each in node.get("properties", {}).items():
            yield f"{path}.{name}", each
        for key, each in node.items():
            yield from _fields(each, f"{path}.{key}")
    elif isinstance(node, list):
        for each in node:
            yield from _fields(each, path)


@pytest.mark.parametrize("validator", [SCENARIO, ELEMENT], ids=["scenario", "element"])
def test_every_key_is_described(validator):
    fields = dict(_fields(validator.schema))
    assert len(fields) > 20
    described = [each.get("description") or _target(validator, each) for each in fields.values()]
    assert [path for path, words in zip(fields, described, strict=True) if not words] == []


def _target(validator, field):
    """Return the description of the table that a property points at."""
    return validator.schema["$defs"][field["$ref"].rpartition("/")[2]]["description"]


def test_a_description_says_unit_and_bounds():
    altitude = SCENARIO.schema["$defs"]["Orbits"]["properties"]["parking_altitude"]
    assert altitude["description"] == (
        "Circular parking orbit at Earth. "
        'A length with its unit, from 150 km to 2000 km, like "185 km".'
    )
    assert re.match(altitude["pattern"], altitude["examples"][0])


def test_propellants_offered_are_those_of_the_table():
    offered = ELEMENT.schema["$defs"]["Tank"]["properties"]["propellant"]["enum"]
    assert offered == list(PROPELLANTS)


@pytest.mark.parametrize(("name", "propellant"), PROPELLANTS.items())
def test_propellant_table_is_plausible(name, propellant):
    # Liquid hydrogen (71 kg/m3, 20.3 K) is the lightest and coldest, cast solids the densest.
    assert 70.0 < propellant.density < 1900.0
    assert propellant.source
    assert propellant.boiling_point is None or 20.0 < propellant.boiling_point < 600.0
