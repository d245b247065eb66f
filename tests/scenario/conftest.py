"""Scenario files to try things on: copies of data/ that a test may edit."""

import shutil
from pathlib import Path

import pytest

from mplan.scenario import ScenarioError, load
from mplan.scenario.profiles import as_toml, default_events

DATA = Path(__file__).parent / "data"


@pytest.fixture
def folder(tmp_path, monkeypatch):
    """A copy of the data files, as the working folder."""
    shutil.copytree(DATA, tmp_path, dirs_exist_ok=True)
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.fixture
def landing():
    """The landing mission, as loaded."""
    return load(DATA / "landing.toml")


@pytest.fixture
def edit(folder):
    """A function that replaces text in one file of the working folder; the text must be there."""

    def replace(old, new, name="landing.toml"):
        path = folder / name
        text = path.read_text(encoding="utf-8")
        assert old in text
        path.write_text(text.replace(old, new, 1), encoding="utf-8")

    return replace


@pytest.fixture
def state_events(folder):
    """Write the usual events into a file; done before any edit."""

    def state(name="landing.toml"):
        events = as_toml(default_events(load(name)._data))
        with open(folder / name, "a", encoding="utf-8") as file:
            file.write("\n" + events)

    return state


@pytest.fixture
def complaints():
    """A function that loads a file and returns the lines of its error."""

    def lines(name="landing.toml"):
        with pytest.raises(ScenarioError, match=":") as caught:
            load(name)
        return str(caught.value).split("\n")

    return lines
