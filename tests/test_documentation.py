"""What README and DEVELOPERS say is what the program does."""

from __future__ import annotations

import doctest
import inspect
import pydoc
import re
import shlex
from importlib import import_module
from pathlib import Path

import pytest

import mplan
from mplan import cli

ROOT = Path(mplan.__file__).parent.parent
README = (ROOT / "README.md").read_text("utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text("utf-8")
MODULES = sorted((ROOT / "mplan").rglob("*.py"))
SHOWN = [x for x in MODULES if ">>>" in x.read_text("utf-8")]  # modules with examples
FOUR = {"hohmann", "lunar_orbit_insertion", "return_burn", "translunar"}
GIVEN = {
    "burn",
    "coast",
    "launch_windows",
    "parking_orbit",
    "read_oem",
    "second_launches",
    "sky",
    "state",
}
KEPT = ("README.md", "DEVELOPERS.md", "pyproject.toml", "workbooks", "mplan", "tests", "scenarios")


def test_the_brief_in_the_readme_is_the_real_one(capsys, monkeypatch):
    """The printed brief opens as README shows it, line for line."""
    monkeypatch.chdir(ROOT)
    cli.main(["brief", "scenarios/first_landing.toml"])
    printed = [x.rstrip() for x in capsys.readouterr().out.splitlines()]
    shown = re.search(r"^    First Landing closes.*?(?=\n\n!)", README, re.S | re.M).group()
    lines = [x.removeprefix("    ").rstrip() for x in shown.splitlines()]
    assert printed[: len(lines)] == lines


def test_every_command_of_the_readme_parses():
    """Each `mplan ...` in README is a command line that the parser takes."""
    commands = re.findall(r"`(mplan [^`]+)`", README)
    assert len(commands) >= 5
    for command in commands:
        arguments = shlex.split(command)[1:]
        assert cli.parser().parse_args(arguments).run


def test_every_file_the_readme_links_is_there():
    """No link of README or DEVELOPERS leads nowhere."""
    links = re.findall(r"\]\(([^)#]+)\)", README + DEVELOPERS)
    assert links
    assert [x for x in links if not (ROOT / x).exists()] == []


def test_every_scenario_and_workbook_is_listed():
    """README names every demo scenario and every workbook."""
    files = [*ROOT.glob("scenarios/*.toml"), *ROOT.glob("workbooks/*.ipynb")]
    assert [x.name for x in files if f"{x.parent.name}/{x.name}" not in README] == []


def test_the_estimates_of_the_readme_are_those_of_the_tables(first_landing, landing_plan):
    """Nothing is estimated but corrections where no errors are stated, as README says."""
    assert [burn.leg for burn in landing_plan.burns if burn.estimate] == []
    assert [x.event for x in landing_plan.timeline if x.estimate] == []
    stated = {"outbound_correction": "20 m/s", "homeward_correction": "8 m/s"}
    plain = mplan.fly(first_landing.change({"allowances": stated, "errors": None}))
    marked = {burn.leg for burn in plain.burns if burn.estimate}
    assert marked == {"outbound correction", "homeward correction"}


def test_the_contributor_guide_is_short():
    """DEVELOPERS.md stays readable in one go."""
    assert len(DEVELOPERS.splitlines()) < 250


def test_the_top_level_is_as_agreed():
    """Nothing stands beside the agreed entries but dotfiles and what tools leave."""
    left = ("build", "dist", "mplan.egg-info", "__pycache__")
    found = {x.name for x in ROOT.iterdir() if not x.name.startswith(".")} - set(left)
    assert found <= set(KEPT)


@pytest.mark.parametrize("name", mplan.__all__)
def test_the_front_door_is_documented(name):
    """Each public name exists and says what it is."""
    thing = getattr(mplan, name)
    assert isinstance(thing, str) or inspect.getdoc(thing)


def test_no_other_name_at_the_front_door():
    """A name that does not exist is refused as Python does."""
    with pytest.raises(AttributeError, match="module 'mplan' has no attribute 'land'"):
        _ = mplan.land


@pytest.mark.parametrize("file", SHOWN, ids=lambda file: str(file.relative_to(ROOT)))
def test_the_examples_of_the_docstrings_run(file, monkeypatch):
    """Every `>>>` in the package gives what stands below it."""
    monkeypatch.chdir(ROOT)
    name = ".".join(file.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")
    result = doctest.testmod(import_module(name))
    assert result.attempted
    assert not result.failed


def test_the_examples_of_the_readme_run():
    """The calculations shown in README give what stands below them."""
    example = doctest.DocTestParser().get_doctest(README, {"mplan": mplan}, "README", None, 0)
    assert len(example.examples) >= 5
    assert doctest.DocTestRunner().run(example).failed == 0


def test_an_example_that_is_wrong_is_found():
    """The check above can fail."""
    example = doctest.DocTestParser().get_doctest(">>> 1 + 1\n3\n", {}, "wrong", None, 0)
    assert doctest.DocTestRunner().run(example, out=lambda text: None).failed == 1


def test_the_front_door_shows_what_people_use():
    """dir() and help() list the four calculations beside load, fly and the types; no more."""
    used = {"load", "fly", "Plan", "Scenario", "ScenarioError", "OemError", "__version__"}
    assert set(dir(mplan)) == set(mplan.__all__) == used | FOUR | GIVEN
    page = pydoc.render_doc(mplan, renderer=pydoc.plaintext)
    assert all(re.search(rf"^    {name}\(", page, re.M) for name in FOUR | GIVEN | {"load", "fly"})
    assert "_HOMES" not in page


@pytest.mark.parametrize("name", sorted(GIVEN))
def test_each_calculation_of_the_given_shows_an_example(name):
    """Its docstring has an example that is run."""
    assert ">>>" in inspect.getdoc(getattr(mplan, name))


@pytest.mark.parametrize("name", sorted(FOUR))
def test_each_calculation_shows_an_example(name):
    """Its docstring has an example that is run, and names every argument's meaning and source."""
    text = inspect.getdoc(getattr(mplan, name))
    assert ">>>" in text
    assert re.search(r"(Vallado|Battin|Bate)[^)]*\d{4}", text)
