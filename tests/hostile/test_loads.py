"""Whatever a file holds: a scenario or a message with its place, soon, and no device is read."""

import os

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import mplan
from tests.hostile.files import places
from tests.hostile.loads import load
from tests.hostile.toml_text import written


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """One folder for all examples."""
    return tmp_path_factory.mktemp("hostile")


@settings(max_examples=120, deadline=None)
@given(seed=st.integers(0, 2**32))
def test_any_file(folder, seed):
    """The seed tells the file."""
    load(seed, folder)


def test_nothing_but_files_is_read(tmp_path):
    """Devices, pipes, folders and the file itself, as the file of an element."""
    mine = tmp_path / "case.toml"
    for place in places(tmp_path):
        mine.write_text(written({"elements": {"a": {"from": place}}}), "utf-8")
        with pytest.raises(mplan.ScenarioError):
            mplan.load(mine)


def test_what_is_no_scenario_is_said(tmp_path):
    file = tmp_path / "mine.toml"
    file.write_text("format = 1\n", "utf-8")
    os.truncate(file, 2**31)  # without a byte on the disk
    for name, text in (
        ("/dev/zero", "not a file; accepted: a text file, no folder, device or pipe"),
        ("a\0b.toml", "no name of a file"),
        (file, "larger than 4 MB"),
    ):
        with pytest.raises(mplan.ScenarioError, match=text):
            mplan.load(name)


@pytest.mark.parametrize(
    ("value", "text"),
    [
        ("1" * 4301, "found a whole number of too many digits"),
        ("0x" + "f" * 5000, "mission.crew: found a whole number of too many digits"),
        (str(2**63), "mission.crew: found a whole number of too many digits"),
        ("[" * 5000 + "]" * 5000, "in one another more than 30 deep"),
        ("[" * 60 + "]" * 60, "mission.crew.0: tables or lists lie in one another"),
    ],
    ids=["decimal", "hexadecimal", "65 bits", "deep", "less deep"],
)
def test_numbers_and_depths_beyond_all_use(tmp_path, value, text):
    file = tmp_path / "mine.toml"
    file.write_text(f"[mission]\ncrew = {value}\n", "utf-8")
    with pytest.raises(mplan.ScenarioError, match=text) as refused:
        mplan.load(file)
    assert len(str(refused.value)) < 400


def test_a_key_with_the_name_of_a_mark(tmp_path):
    """Some keys look like what the models put into paths."""
    file = tmp_path / "mine.toml"
    file.write_text('"[key]" = 1\n[elements."[key]"]\n"[key]" = 1\n', "utf-8")
    with pytest.raises(mplan.ScenarioError, match=r"mine.toml:1: \[key\]: unknown key"):
        mplan.load(file)
