"""A scenario laid on others: how deep it may go, where a key stands, what is left out."""

from __future__ import annotations

from pathlib import Path

import pytest

import mplan
from mplan.scenario import ScenarioError

SCENARIOS = Path(mplan.__file__).parents[1] / "scenarios"
FORMAT = 'format = "mplan-scenario/2"\n'


def written(file: Path, base: Path | str, text: str = "") -> Path:
    name = base.as_posix() if isinstance(base, Path) else base
    file.write_text(f'{FORMAT}based_on = "{name}"\n{text}', "utf-8")
    return file


def test_a_base_may_be_based_on_another(tmp_path):
    """Each file overrides the one under it, over any number of them."""
    day = written(tmp_path / "day.toml", SCENARIOS / "home_from_the_ground.toml")
    mine = written(tmp_path / "mine.toml", day, 'mission.name = "Mine"\n')
    below, ours = mplan.load(SCENARIOS / "home_from_the_ground.toml"), mplan.load(mine)
    assert ours.mission.name == "Mine"
    assert ours.stack == below.stack
    assert ours.elements == below.elements
    assert ours.launch_site.pad.door_height == pytest.approx(105.0)  # two files further down
    assert ours.events == below.events


def test_a_loop_is_refused(tmp_path):
    """One message, with the file and the line that close it."""
    one, other = tmp_path / "one.toml", tmp_path / "other.toml"
    written(one, "other.toml")
    written(other, "one.toml")
    with pytest.raises(ScenarioError, match=r"other\.toml:2: based_on: found .one\.toml., which"):
        mplan.load(one)
    written(one, "one.toml")
    with pytest.raises(ScenarioError, match=r"one\.toml:2: .* leads back to .*one\.toml; accepted"):
        mplan.load(one)


def test_a_fault_is_told_where_it_stands(tmp_path):
    """In the file of the chain that states the key, with its own line."""
    below = written(tmp_path / "below.toml", SCENARIOS / "two_launches.toml", 'climb.day = "hot"\n')
    mine = written(tmp_path / "mine.toml", below)
    with pytest.raises(ScenarioError, match=r"below\.toml:3: climb\.day: unknown"):
        mplan.load(mine)


def test_an_element_is_read_beside_the_file_that_names_it(tmp_path):
    """Also where a base names it in an inline table, and the file above states more of it."""
    scenario = mplan.load(SCENARIOS / "cargo_down.toml")
    path = ("elements", "descent_stage", "from")
    assert scenario._files.place(path).file.endswith("parts/lintel_landing.toml")
    assert scenario._files.place((*path[:2], "inside")).file.endswith("cargo_down.toml")


def test_a_part_is_no_mission(tmp_path):
    """What missions share lacks what makes one, and says so; a mission on it does not."""
    part = SCENARIOS / "parts" / "wainscot.toml"
    with pytest.raises(ScenarioError, match="stack: missing"):
        mplan.load(part)
    assert "nose_fairing" not in mplan.load(SCENARIOS / "round_the_moon.toml").elements


def test_the_parts_of_the_kit_are_found_from_everywhere(tmp_path):
    """As its elements are: a copy of a mission elsewhere needs none of them beside it."""
    copy = tmp_path / "copy.toml"
    copy.write_text((SCENARIOS / "orbit_and_return.toml").read_text("utf-8"), "utf-8")
    assert mplan.load(copy).hash == mplan.load(SCENARIOS / "orbit_and_return.toml").hash


def test_a_base_is_not_overwritten(tmp_path):
    """Saving over a file that the scenario is based on would change what it is based on."""
    below = written(tmp_path / "below.toml", SCENARIOS / "first_landing.toml")
    ours = mplan.load(written(tmp_path / "mine.toml", below)).change("mission.name", "Mine")
    with pytest.raises(ScenarioError, match="a file that the scenario is based on"):
        ours.save(below)
    assert ours.save(tmp_path / "mine.toml").mission.name == "Mine"


@pytest.mark.parametrize("file", sorted(SCENARIOS.glob("*.toml")), ids=lambda x: x.stem)
def test_demos_are_short(file):
    """All but the one that shows every key of a landing keep to forty lines."""
    if file.stem != "first_landing":
        assert len(file.read_text("utf-8").splitlines()) <= 40
