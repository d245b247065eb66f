"""The working folder that JupyterLab is started on, and what is refused."""

from __future__ import annotations

import json
import socket
import sys

import pytest

from mplan import lab, shipped, workbooks
from mplan.scenario import ScenarioError


def test_copies_are_set_to_the_scenario(tmp_path, first_landing):
    """The copy names the scenario; the workbook that is kept stays as it was."""
    copy = lab.copied(tmp_path / "work", {"SCENARIO": first_landing.source})[0]
    source = next(
        x.source for x in workbooks.read(copy).cells if "parameters" in x.metadata.get("tags", ())
    )
    assert source.splitlines()[0] == f"SCENARIO = {first_landing.source.resolve().as_posix()!r}"
    original = workbooks.folder() / copy.name
    assert "../scenarios/first_landing.toml" in original.read_text("utf-8")


def test_a_copy_that_is_there_is_kept(tmp_path, first_landing):
    """What people wrote into their copy survives the next start."""
    copy = lab.copied(tmp_path, {})[0]
    text = copy.read_text("utf-8").replace("# Four burns", "# Mine")
    copy.write_text(text, encoding="utf-8")
    lab.copied(tmp_path, {})
    assert copy.read_text("utf-8") == text
    lab.copied(tmp_path, {"SCENARIO": first_landing.source})
    assert "# Mine" in copy.read_text("utf-8")


def test_lessons_stay_about_their_own_files(tmp_path, first_landing):
    """They lie beside the workbooks, whatever those are on, and are kept as people left them."""
    lab.copied(tmp_path, {"SCENARIO": first_landing.source.with_name("tanker.toml")})
    copies = {path.stem: path for path in workbooks.lessons(tmp_path)}
    assert set(copies) == {path.stem for path in workbooks.lessons(workbooks.folder())}
    broken = shipped.missions()["borrowed_pad"].resolve().as_posix()
    assert f"SCENARIO = {broken!r}" in parameters(copies["3_close_this_stack"])
    copies["glossary"].write_text("mine", "utf-8")
    lab.copied(tmp_path, {})
    assert copies["glossary"].read_text("utf-8") == "mine"


def parameters(copy):
    [cell] = [x for x in workbooks.read(copy).cells if "parameters" in x.metadata.get("tags", ())]
    return cell.source


def test_another_scenario_is_named_and_nothing_else_touched(tmp_path, first_landing):
    """The line of the path alone changes; notes and changes of people are where they were."""
    other = first_landing.source.with_name("one_more_day.toml")
    copy = lab.copied(tmp_path, {"SCENARIO": first_landing.source})[1]
    before = copy.read_text("utf-8").splitlines()
    lab.copied(tmp_path, {"SCENARIO": other})
    after = copy.read_text("utf-8").splitlines()
    [line] = [new for old, new in zip(before, after, strict=True) if old != new]
    assert "one_more_day.toml" in line
    assert "CHANGES = {}  # keys" in parameters(copy)


def test_a_programme_is_named_in_its_own_workbook(tmp_path, first_landing):
    """The file given, else the kit's; workbooks about a mission keep theirs, and the other way."""
    copies = {path.stem: path for path in lab.copied(tmp_path, {"SCENARIO": first_landing.source})}
    of_all = copies["08_the_programme"]
    kept = shipped.programmes()["cornice"].resolve().as_posix()
    assert parameters(of_all).splitlines()[:2] == [f"PROGRAMME = {kept!r}", "CHANGES = {}"]
    before = copies["01_whole_mission"].read_text("utf-8")
    other = tmp_path / "other.toml"
    lab.copied(tmp_path, {"PROGRAMME": other})
    assert parameters(of_all).splitlines()[0] == f"PROGRAMME = {other.resolve().as_posix()!r}"
    assert copies["01_whole_mission"].read_text("utf-8") == before


def test_values_of_ones_own_are_never_rewritten(tmp_path, first_landing):
    """A copy with changes keeps its bytes, its scenario too, and that is said."""
    said = []
    copy = lab.copied(tmp_path, {"SCENARIO": first_landing.source})[1]
    mine = copy.read_text("utf-8").replace(
        "CHANGES = {}", "CHANGES = {'orbits.parking_altitude': '190 km'}"
    )
    assert "190 km" in mine
    copy.write_text(mine, "utf-8")
    lab.copied(
        tmp_path, {"SCENARIO": first_landing.source.with_name("one_more_day.toml")}, said.append
    )
    assert copy.read_text("utf-8") == mine
    assert len(said) == 1
    assert said[0].startswith(f"{copy}: kept as it is")


def test_a_copy_that_is_no_notebook_is_left_alone(tmp_path, first_landing):
    said = []
    copy = tmp_path / "01_whole_mission.ipynb"
    copy.write_text("{half of it", "utf-8")
    lab.copied(tmp_path, {"SCENARIO": first_landing.source}, said.append)
    assert copy.read_text("utf-8") == "{half of it"
    assert said[0].startswith(f"{copy}: kept as it is")


def test_port_in_use_is_said(tmp_path):
    with socket.socket() as other:
        other.bind((lab.HOST, 0))
        other.listen()
        port = other.getsockname()[1]
        with pytest.raises(ScenarioError, match=f"found {port}, which cannot be had"):
            lab.start(folder=tmp_path, port=port, browser=False)
    assert list(tmp_path.iterdir()) == []


def test_bad_scenario_is_refused_first(tmp_path):
    bad = tmp_path / "bad.toml"
    bad.write_text("format = 1\n", encoding="utf-8")
    with pytest.raises(ScenarioError, match=r"bad\.toml"):
        lab.start(bad, folder=tmp_path / "work", browser=False)
    with pytest.raises(ScenarioError, match=r"bad\.toml"):
        lab.start(programme=bad, folder=tmp_path / "work", browser=False)
    assert not (tmp_path / "work").exists()


def test_server_is_private(tmp_path):
    """It serves this machine alone, asks nothing of others, and runs this Python."""
    command = lab._command(tmp_path, tmp_path / "01.ipynb", 8899, browser=False, log=False)
    assert command[0] == sys.executable
    assert "--ServerApp.ip=127.0.0.1" in command
    assert "--LabApp.news_url=None" in command
    environment = lab._private(tmp_path)
    kernel = tmp_path / "data" / "kernels" / "python3" / "kernel.json"
    assert json.loads(kernel.read_text("utf-8"))["argv"][0] == sys.executable
    assert environment["JUPYTER_PATH"].startswith(str(tmp_path / "data"))


def test_its_own_files_are_not_for_git(tmp_path, monkeypatch, capsys):
    """Settings never are, copies in the working folder that nobody named neither."""
    monkeypatch.chdir(tmp_path)
    served = []
    monkeypatch.setattr(lab, "_serve", lambda *given: served.append(given) or 0)
    assert lab.start(browser=False) == 0
    assert lab.start(folder="mine", browser=False) == 0
    ignored = {str(x.parent.relative_to(tmp_path)) for x in tmp_path.rglob(".gitignore")}
    assert ignored == {lab.WORK, f"{lab.WORK}/.lab", "mine/.lab"}
    assert {x.read_text("utf-8") for x in tmp_path.rglob(".gitignore")} == {"*\n"}


def test_log_lines_are_for_those_who_ask(tmp_path):
    quiet, whole = (
        lab._command(tmp_path, tmp_path / "01.ipynb", None, browser=False, log=log)
        for log in (False, True)
    )
    assert lab.ERRORS in quiet
    assert not [each for each in whole if "log" in each.split("=")[0]]
