"""The commands as people type them: what is printed, where, and with which exit code."""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from plotly.offline import get_plotlyjs

from mplan import cli

SCENARIOS = Path(__file__).parent.parent / "scenarios"
MISSIONS = Path(__file__).parent / "missions"
ACCEPT = "--accept-decisions"  # gaps in the ways out of the reference landing
LANDING, TALL = str(MISSIONS / "reference_landing.toml"), str(MISSIONS / "overheight.toml")


def test_a_plan_that_closes(capsys):
    """The brief opens with the verdict and has budget, timeline, findings and the caution."""
    assert cli.main(["brief", LANDING, ACCEPT]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert re.match(
        r"Reference Landing closes, \d decisions open: home after \d\.\d d, tightest margin \d+",
        lines[0],
    )
    for title in ("Budget", "Timeline", "Findings", "A planning study, not flight approval."):
        assert title in lines


def test_a_plan_that_does_not_close(capsys):
    """It is a result, not an error: exit code 1, the reason first, the flown changes below."""
    assert cli.main(["brief", TALL]) == 1
    out = capsys.readouterr().out
    assert out.startswith(
        "Overheight does not close: the stack is 2.8 m too tall for the assembly-hall door\n"
    )
    assert "flown: transfer stage 2.81 m shorter: does not close" in out.replace("\n", " ")


@pytest.mark.parametrize("scenario", sorted(SCENARIOS.glob("*.toml")), ids=lambda x: x.stem)
def test_a_pipe_gets_plain_text_of_100_columns(scenario):
    """No colour codes, nothing wider than 100 columns, no raw error, in every demo."""
    run = subprocess.run(
        [sys.executable, "-m", "mplan.cli", "brief", str(scenario)], capture_output=True, text=True
    )
    assert run.returncode in (0, 1)
    assert run.stderr == ""
    assert "\x1b" not in run.stdout
    assert max(map(len, run.stdout.splitlines())) <= 100


def test_every_burn_is_in_the_brief(capsys, landing_plan):
    """Each burn has its row with required, start and, where it is one, the mark of an estimate."""
    cli.main(["brief", LANDING])
    budget = capsys.readouterr().out.partition("Budget")[2].partition("available: ")[0]
    words = " ".join(budget.split())  # a long name is broken over two lines
    for burn in landing_plan.burns:
        _, name, rest = words.partition(f" {burn.name}")
        row = rest.split()[:11]
        assert name
        assert f"{burn.required:,.0f}" in row
        assert any(cell.startswith(f"{burn.start}/") for cell in row)
        assert ("(estimate)" in "".join(row[:2])) == bool(burn.estimate)


def test_json_to_standard_output(capsys):
    """`--json -` prints the document and nothing else."""
    assert cli.main(["brief", LANDING, ACCEPT, "--json", "-"]) == 0
    assert json.loads(capsys.readouterr().out)["verdict"]["closes"] is True


def test_json_to_a_file(tmp_path, capsys):
    """`--json PATH` writes the file whole, and leaves nothing beside it."""
    target = tmp_path / "plan.json"
    assert cli.main(["brief", TALL, "--json", str(target)]) == 1
    assert json.loads(target.read_text("utf-8"))["verdict"]["closes"] is False
    assert os.listdir(tmp_path) == ["plan.json"]
    assert capsys.readouterr().out == ""


def test_the_arcs_to_a_file(tmp_path, capsys):
    """`--oem PATH` writes the arcs for other programs, and prints nothing."""
    target = tmp_path / "arcs.oem"
    assert cli.main(["brief", LANDING, ACCEPT, "--oem", str(target)]) == 0
    assert target.read_text("ascii").startswith("CCSDS_OEM_VERS = ")
    assert capsys.readouterr().out == ""


def test_windows_of_some_days(capsys):
    """Each day and side has its line, or its reason; nothing is wider than 100 columns."""
    asked = ["windows", LANDING, "--from", "2031-05-22", "--days", "2"]
    assert cli.main([*asked, "--accept-decisions"]) == 0  # the Sun stands too low on these days
    out = capsys.readouterr().out
    assert re.search(r"\n05-23 desc\. 23 11:\d\d 23 17:\d\d ", out)
    assert "2031-05-23 ascending: found 2031-05-23, which has no launch" in out
    assert max(map(len, out.splitlines())) <= 100


@pytest.mark.parametrize(("end", "begins"), [("html", b"<!doctype html>"), ("png", b"\x89PNG")])
def test_windows_drawn(capsys, tmp_path, end, begins):
    """Beside what is printed, a page that opens offline or a still with calendar and map."""
    path = tmp_path / f"windows.{end}"
    days = ["--from", "2031-05-22", "--days", "2"]
    assert cli.main(["windows", LANDING, *days, "--picture", str(path)]) == 1
    assert "Launch windows of Reference Landing" in capsys.readouterr().out
    drawn = path.read_bytes()
    assert drawn[: len(begins)].lower() == begins.lower()
    if end == "html":
        page = drawn.decode("utf-8")
        assert page.count('data-chart="chart-') == 3  # one on the first screen
        assert "Launch windows" in page
        assert not re.search(r'<(script|link|img)[^>]+="https?:', page.replace(get_plotlyjs(), ""))


def test_windows_as_json(capsys):
    """The same as data."""
    days = ["--from", "2031-05-23", "--days", "1"]
    assert cli.main(["windows", LANDING, *days, "--json", "-"]) == 1
    document = json.loads(capsys.readouterr().out)
    assert [x["side"] for x in document["windows"]] == ["descending"]


def test_windows_that_close_in_an_order_of_choice(capsys):
    """`--good` keeps launches whose plans close; `--sort` puts the best of a kind first."""
    days = ["windows", LANDING, "--from", "2031-05-22", "--days", "2", "--good", "--json", "-"]
    cli.main([*days, "--sort", "margin"])
    document = json.loads(capsys.readouterr().out)
    margins = [x["tightest_margin_m_s"] for x in document["windows"]]
    assert len(margins) > 1
    assert margins == sorted(margins, reverse=True)
    assert all(x["closes"] for x in document["windows"])
    assert document["without"] == []
    bad = [LANDING, "--days", "1", "--good", "--with", "mission.payload_down=9 t"]
    assert cli.main(["windows", *bad]) == 1
    assert "No launch in these days closes." in capsys.readouterr().out


def test_a_change_on_the_command_line(capsys):
    """`--with` flies the scenario with another value, and the document says so."""
    assert (
        cli.main(["brief", LANDING, ACCEPT, "--json", "-", "--with", "mission.payload_down=0 kg"])
        == 0
    )
    changes = json.loads(capsys.readouterr().out)["scenario"]["changes"]
    assert changes == ['mission.payload_down: "250 kg" -> "0 kg"']


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["brief", "nowhere.toml"], "nowhere.toml"),
        (["brief", LANDING, "--with", "orbits.parking_altitude=190"], "accepted: a length"),
        (["brief", LANDING, "--with", "orbits.parking_altitude"], "accepted: KEY=VALUE"),
        (["brief", LANDING, "--with", "orbits.parking_hight=190 km"], 'did you mean "parking_'),
        (["brief", LANDING, "--json", "/no/such/folder/plan.json"], "/no/such/folder"),
        (["report", "nowhere.toml", "--to", "out"], "nowhere.toml"),
        (["windows", LANDING, "--from", "2071-01-01"], "outside the ephemeris"),
        (["windows", LANDING, "--sort", "colour"], "--sort: found colour; accepted: opens, "),
        (
            ["windows", LANDING, "--from", "2053-09-01", "--days", "30"],
            "lead out of the ephemeris (DE421); accepted: up to 9, the last day being 2053-09-09",
        ),
        (["windows", LANDING, "--workers", "0"], "--workers: found 0; accepted: at least 1"),
        (
            ["engines", LANDING, "--workers", "2", "--scheduler", "tcp://127.0.0.1:1"],
            "--workers: does not go with --scheduler",
        ),
        (["windows", LANDING, "--days", "0"], "--days: found 0; accepted: from 1 to 366"),
        (
            ["windows", LANDING, "--picture", "x.pdf"],
            "--picture: found x.pdf; accepted: a path that",
        ),
    ],
)
def test_bad_input(arguments, message, capsys, tmp_path, monkeypatch):
    """One clear message on standard error, exit code 2, nothing written, no traceback."""
    monkeypatch.chdir(tmp_path)
    assert cli.main(arguments) == 2
    captured = capsys.readouterr()
    assert message in captured.err
    assert "Traceback" not in captured.err
    assert captured.out == ""
    assert os.listdir(tmp_path) == []


def test_all_problems_in_one_go(tmp_path, capsys):
    """A file with three faults gets three lines, each with its line number."""
    text = Path(LANDING).read_text("utf-8").replace('"elements/', f'"{MISSIONS}/elements/')
    text = (
        text.replace('"185 km"', "185").replace('"76 h"', '"76 kg"').replace("crew = 3", "crw = 3")
    )
    file = tmp_path / "faulty.toml"
    file.write_text(text, "utf-8")
    assert cli.main(["brief", str(file)]) == 2
    lines = capsys.readouterr().err.splitlines()
    assert len(lines) == 3
    assert all(re.match(rf"{re.escape(str(file))}:\d+: ", x) for x in lines)


def test_events_can_be_pasted_back(tmp_path, capsys):
    """`mplan events` prints the profile's events; with them in the file the plan is the same."""
    source = MISSIONS / "orbit_and_return.toml"
    assert cli.main(["events", str(source)]) == 0
    events = capsys.readouterr().out
    text = source.read_text("utf-8").replace('"elements/', f'"{MISSIONS}/elements/')
    pasted = tmp_path / "pasted.toml"
    pasted.write_text(f"{text}\n{events}", "utf-8")
    documents = []
    for file in (source, pasted):
        cli.main(["brief", str(file), "--json", "-"])
        documents.append(json.loads(capsys.readouterr().out))
    assert documents[0]["burns"] == documents[1]["burns"]


def test_help_names_the_commands_and_exit_codes(capsys):
    """`mplan --help` tells the commands, the exit codes and the caution."""
    with pytest.raises(SystemExit, match="0"):
        cli.main(["--help"])
    out = capsys.readouterr().out
    assert all(x in out for x in ("brief", "report", "lab", "events", "2 bad input"))
    assert "not flight approval" in " ".join(out.split())


def test_engines_of_one_element(capsys):
    """A table of 100 columns at most: what is there first, the key and the caution below."""
    assert cli.main(["engines", LANDING, "--element", "ascent_stage"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert "Engines of the ascent stage, in Reference Landing" in lines
    rows = [line for line in lines if re.match(r"\d+ x [A-Z][^:]*$", line)]
    assert rows[0].split()[:5] == ["1", "x", "Storable-16", "*", "yes"]
    assert [row.split()[2] for row in rows] == ["Storable-16", "Storable-20P", "Storable-30"]
    assert "margins: after lunar ascent" in lines
    assert "A planning study, not flight approval." in lines
    assert max(map(len, lines)) <= 100


def test_engines_where_none_helps(capsys):
    """No engine makes a stack shorter that is too tall by metres: exit code 1, and why."""
    assert cli.main(["engines", TALL, "--element", "ascent_stage"]) == 1
    out = capsys.readouterr().out
    assert (
        "1 x Storable-20P: does not close: the stack is 2.8 m too tall for the assembly-hall door"
        in out
    )


def test_engines_as_json(tmp_path, capsys):
    target = tmp_path / "engines.json"
    run = ["engines", LANDING, "--element", "ascent_stage", "--json", str(target)]
    assert cli.main(run) == 0
    document = json.loads(target.read_text("utf-8"))
    assert [each["count"] for each in document["trades"]] == [1, 1, 1]
    assert os.listdir(tmp_path) == ["engines.json"]
    assert capsys.readouterr().out == ""


def test_engines_of_no_such_element(capsys):
    assert cli.main(["engines", LANDING, "--element", "ascent_stge"]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert 'did you mean "ascent_stage"?' in said.err


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such signal to send")
@pytest.mark.parametrize("after", [2.0, 6.0])
def test_shared_flights_interrupted(tmp_path, after):
    """Ctrl-C while the flights are shared ends them all: no traceback, no file, exit code 130."""
    target = tmp_path / "windows.json"
    long = [LANDING, "--days", "300", "--json", str(target)]
    run = [sys.executable, "-m", "mplan.cli", "windows", *long]
    with subprocess.Popen(run, stderr=subprocess.PIPE, text=True, start_new_session=True) as going:
        time.sleep(after)
        os.killpg(going.pid, signal.SIGINT)
        _, said = going.communicate(timeout=60)
    assert going.returncode == 130
    assert said == "stopped; nothing was written\n"
    assert list(tmp_path.iterdir()) == []


def test_ways_at_one_time(capsys):
    """One failure at one time: exit code 2 with one message where it cannot be asked."""
    asked = ["ways", "reference_landing", "--at", "20:00", "--failure", "called off"]
    asked[1] = str(MISSIONS / "reference_landing.toml")
    assert cli.main(asked) in (0, 1)
    assert "20:00 after lift-off (to the Moon), called off" in capsys.readouterr().out
    for wrong, said in (
        (["--at", "noon"], "ways out: at: found noon; accepted: hours and minutes"),
        (["--at", "900:00"], "accepted: from 0:00 to before"),
        (["--at", "20:00", "--cabin", "attic"], 'found "attic"; accepted: '),
        (["--failure", "engine fire"], 'found "engine fire"; accepted: '),
        (["--at", "190:00", "--failure", "one engine lost"], "no burn comes; accepted: before"),
    ):
        assert cli.main([*asked[:2], *wrong]) == 2
        found = capsys.readouterr().err.strip()
        assert said in found
        assert "\n" not in found
