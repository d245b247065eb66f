"""A file of an earlier format is told, key by key, what each is called now."""

from __future__ import annotations

from pathlib import Path

import pytest

from mplan.scenario import ScenarioError, catalogue, former, load
from mplan.scenario.former import Former

DATA = Path(__file__).parent / "data"


def problems(text: str, folder: Path) -> list[str]:
    file = folder / "old.toml"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(ScenarioError) as caught:
        load(file)
    return [str(each).removeprefix(folder.as_posix() + "/") for each in caught.value.problems]


def test_earlier_format_alone_names_the_new_one(tmp_path):
    """A file of which no key has changed needs its format line only."""
    text = (DATA / "orbit.toml").read_text("utf-8").replace(former.FORMAT, former.EARLIER[0])
    assert problems(text, tmp_path) == [
        'old.toml:4: format: found "mplan-scenario/1", an earlier format; accepted: '
        '"mplan-scenario/2", once every former key is replaced; each is named with what to write'
    ]


@pytest.mark.parametrize(
    ("entry", "line", "told"),
    [
        (
            Former("mission.profile", "orbits.colour", "the orbit has it"),
            'profile = "lunar orbit and return"',
            "mission.profile: a former key; write orbits.colour in its place: the orbit has it",
        ),
        (
            Former("mission.crew", None, "nobody counts"),
            "crew = 2",
            "mission.crew: a former key; omit it: nobody counts",
        ),
        (
            Former("mission.profile", "round trip", value="lunar orbit and return"),
            'profile = "lunar orbit and return"',
            'mission.profile: found "lunar orbit and return", a former value; '
            'write "round trip" in its place',
        ),
    ],
)
def test_former_key_is_told_once_with_its_line(entry, line, told, tmp_path, monkeypatch):
    """Renamed, removed, or a value renamed; other findings wait until these are mended."""
    text = (DATA / "orbit.toml").read_text("utf-8")
    monkeypatch.setattr(former, "KEYS", (entry,))
    number = text.splitlines().index(line) + 1
    assert f"old.toml:{number}: {told}" in problems(text, tmp_path)


def test_value_that_is_still_good_is_not_told(tmp_path, monkeypatch):
    """An entry for one value leaves every other value of the key alone."""
    monkeypatch.setattr(former, "KEYS", (Former("mission.profile", "x", value="flyby"),))
    assert load(DATA / "orbit.toml").mission.profile == "lunar orbit and return"


def test_former_key_in_a_catalogue_names_the_engine_file(tmp_path, monkeypatch):
    """An engine file read by itself is told as one taken in by an element."""
    monkeypatch.setattr(former, "KEYS", (Former("elements.*.engines.*.pushes", "thrust_vacuum"),))
    (tmp_path / "one.toml").write_text('label = "One"\npushes = "3 kN"\n', encoding="utf-8")
    with pytest.raises(ScenarioError, match=r"one\.toml:2: pushes: .*write thrust_vacuum"):
        catalogue.read(tmp_path)


def test_engine_keys_of_the_first_format(tmp_path):
    """Each key of an engine that has another name now is told beside its own line, and no other."""
    text = (DATA / "orbit.toml").read_text("utf-8").replace("\nstarts = 1\n", "\nignitions = 1\n")
    line = text.splitlines().index("ignitions = 1") + 1
    (told,) = problems(text, tmp_path)
    assert told.startswith(f"old.toml:{line}: elements.")
    assert told.endswith(".ignitions: a former key; write starts in its place")


@pytest.mark.parametrize("entry", former.KEYS, ids=lambda entry: f"{entry.key} {entry.value or ''}")
def test_what_replaces_a_former_key_exists(entry):
    """No entry sends a planner to a key that the format does not have."""
    schema = (Path(former.__file__).parent / "scenario.schema.json").read_text("utf-8")
    names = [] if entry.value else [x.split(".")[-1] for x in (entry.now or "").split(" and ")]
    assert all(f'"{name}":' in schema for name in names if name)
    gone = entry.key.split(".")[-1]
    assert entry.value or entry.now is None or gone not in names
