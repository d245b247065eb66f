"""A sizing in words, tables, a picture, as JSON and as a scenario file; and the command."""

from __future__ import annotations

import io
import json

import jsonschema
import pytest

import mplan
from mplan import cli
from mplan.scenario import based_file
from mplan.show import sizing as shown
from mplan.show.sizing import words
from mplan.show.terminal import print_sizing
from mplan.studies import sizing
from tests.conftest import MISSIONS

FILE = MISSIONS / "low_orbit.toml"
FREE = "elements.gaff.load=5 t..9 t"


@pytest.fixture(scope="module")
def found():
    return sizing.of(mplan.load(FILE), [FREE], accept_decisions=True, starts=1)


@pytest.fixture(scope="module")
def none():
    """Nothing closes: a module too light for the way home."""
    free = ["elements.gaff.load=3 t..4 t"]
    return sizing.of(mplan.load(FILE), free, accept_decisions=True, starts=1, most=8)


def test_told_in_words(found):
    said = " ".join(words.told(found))
    assert "Low Orbit: least mass at lift-off found" in said
    assert "less than as it stands (1,167.07 t)" in said
    assert "No search proves that there is nothing less." in said


def test_what_conflicts_is_told(none):
    """The margin that lacks, that the key moves it, and where the range ends."""
    said = words.told(none)
    assert said[0].startswith("Low Orbit: nothing that was flown of what is freed closes")
    assert [x for x in said if x.startswith("Nearest to closing: margin after")]
    assert said[-1] == "At the ends of what is freed: elements.gaff.load at 4 t"


def test_stopped_at_once_it_says_so():
    """Nothing of what is freed was flown: not told as if no plan of it closed."""
    free = ["elements.gaff.load=3 t..4 t"]
    found = sizing.of(mplan.load(FILE), free, accept_decisions=True, stopped=lambda: True)
    said = words.told(found)
    assert "ended before any plan was flown" in said[0]
    assert said[0].endswith("as it stands, which closes")
    assert said[2:] == [
        "elements.gaff.load: 7.0005 t as it stands, outside what is freed, 3 t to 4 t"
    ]
    assert "the search ended early: stopped" in said[1]


def test_on_a_terminal(found, none):
    """Never over 100 columns, with what holds the key and the cautions."""
    for each in (found, none):
        out = io.StringIO()
        print_sizing(each, out)
        lines = out.getvalue().splitlines()
        assert max(map(len, lines)) <= 100
        assert "A planning study, not flight approval." in lines
    assert "estimate" in out.getvalue().lower()


def test_tables(found):
    keys = shown.keys(found).frame
    assert list(keys["from"]) == ["7.0005 t"]
    assert keys["what holds it there"][0].startswith("one per cent less and")
    assert shown.limits(found).frame["worth [kg a unit]"][0] > 0.0
    figures = shown.figures(found).frame.set_index("figure")
    assert figures["before"]["mass at lift-off"] == "1,167.07 t"
    assert list(figures.loc["closes"]) == ["yes", "yes"]


def test_picture(found):
    """Bars in per cent of before, and in words which limit holds the key."""
    drawn = shown.changed(found)
    after, before, words_beside = drawn.data
    assert list(after.y) == ["mass at lift-off", "elements.gaff.load"]
    assert 70.0 < after.x[1] < 80.0
    assert list(before.x) == [100.0, 100.0]
    assert words_beside.text[1].startswith("  7.0005 t to 5.2")
    assert "margin after" in words_beside.text[1]
    assert drawn.summary.startswith("Low Orbit: least mass at lift-off")


def test_document_obeys_its_schema(found, none):
    for each in (found, none):
        document = json.loads(json.dumps(shown.document(each)))
        jsonschema.validate(document, shown.schema())
    assert document["after"] is None
    assert document["conflict"][0]["moved_by_a_freed_key"]


def test_written_scenario_is_what_was_found(found, tmp_path):
    """A short file based on the one that was sized, with the reason above each key."""
    path = tmp_path / "sized.toml"
    scenario = found.after.scenario
    written = based_file.write(scenario, path, shown.head(found), shown.notes(found))
    assert written.hash == scenario.hash
    text = path.read_text("utf-8")
    assert "based_on = " in text
    assert "# elements.gaff.load: from 7.0005 t to" in text
    assert "and the margin after" in " ".join(text.split("\n# "))
    assert len(text.splitlines()) < 40


def test_command(tmp_path, capsys):
    """It prints, writes JSON and the scenario, and ends with 0 where a plan closes."""
    sized, data = tmp_path / "sized.toml", tmp_path / "sized.json"
    asked = ["size", str(FILE), "--free", FREE, "--flights", "3", "--accept-decisions"]
    assert cli.main([*asked, "--to", str(sized), "--json", str(data)]) == 0
    assert json.loads(data.read_text("utf-8"))["ended_early"] == (
        "the number of flights allowed, 3, was reached"
    )
    assert mplan.load(sized).mission.name == "Low Orbit"
    capsys.readouterr()


def test_nothing_is_written_where_nothing_closes(tmp_path, capsys):
    """Exit code 1, the conflict printed, no file."""
    path = tmp_path / "sized.toml"
    asked = ["size", str(FILE), "--free", "elements.gaff.load=3 t..4 t", "--flights", "2"]
    assert cli.main([*asked, "--to", str(path)]) == 1
    said = capsys.readouterr()
    assert "nothing that was flown of what is freed closes" in said.out
    assert "not written" in said.err
    assert not path.exists()


def test_bad_input_is_refused(capsys):
    """One message and exit code 2, before anything is flown."""
    assert cli.main(["size", str(FILE), "--free", "elements.gaff.load=9 t..6 t"]) == 2
    said = capsys.readouterr().err
    assert said.startswith("freed key: elements.gaff.load: found")
    assert cli.main(["size", str(FILE)]) == 2
    assert "nothing is freed" in capsys.readouterr().err
    assert cli.main(["size", str(FILE), "--free", FREE, "--flights", "0"]) == 2
