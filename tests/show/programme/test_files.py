"""A calendar as tables, JSON and iCalendar, and the command that writes them."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date, datetime, timedelta, timezone
from pathlib import Path
from typing import get_args

import icalendar
import jsonschema
import pytest

from mplan import cli
from mplan import programme as room
from mplan.programme import Clash
from mplan.programme.entries import TaskKind
from mplan.report import page
from mplan.show import programme
from mplan.show.programme import readings
from mplan.show.programme.document import schema

SMALL = str(Path(__file__).with_name("small.toml"))
WRITTEN = datetime(2031, 1, 1, 12, tzinfo=timezone.utc)
MOMENTS = ("event-", "window-")


def entries(calendar):
    text = programme.icalendar_text(calendar, WRITTEN)
    return {str(x["uid"]): x for x in icalendar.Calendar.from_ical(text).walk("VEVENT")}


def test_work_fills_whole_days(busy):
    """Each task is read back with its days; DTEND is the morning after (RFC 5545, 3.6.1)."""
    read = entries(busy)
    assert len(read) == len(busy.tasks) + len(busy.events) + len(busy.windows), "UIDs are unique"
    by_name = {str(x["summary"]): x for uid, x in read.items() if not uid.startswith(MOMENTS)}
    for task in busy.tasks:
        entry = by_name[task.name]
        assert entry["dtstart"].dt == task.begins
        assert entry["dtend"].dt == max(task.ends, task.begins + timedelta(days=1))


def test_a_known_hour_is_told_in_utc(busy):
    """A correction and the windows keep their hours; one planned to the day fills it."""
    by_name = {str(x["summary"]): x for x in entries(busy).values()}
    correction = by_name["First trial: outbound correction"]
    assert correction["dtstart"].dt == datetime(2031, 9, 10, 7, 30, tzinfo=timezone.utc)
    window = by_name["First trial: launch window"]
    assert window["dtend"].dt - window["dtstart"].dt == timedelta(hours=2)
    assert type(by_name["First trial: lift-off"]["dtstart"].dt) is date


def test_the_text_follows_the_standard(busy):
    """Lines end in CRLF and are 75 octets at most (RFC 5545, 3.1); a comma is escaped (3.3.11)."""
    raw = programme.icalendar_text(busy, WRITTEN).encode()
    lines = raw.split(b"\r\n")
    assert lines[0] == b"BEGIN:VCALENDAR"
    assert lines[-2:] == [b"END:VCALENDAR", b""]
    assert max(map(len, lines)) <= 75
    assert b"\n" not in raw.replace(b"\r\n", b"")
    assert b"X-WR-CALNAME:Small\\, with a comma" in lines


def test_a_task_keeps_its_uid(small, busy):
    """What is exported anew moves in a calendar rather than standing there twice."""
    assert set(entries(small)) < set(entries(busy))
    later = programme.icalendar_text(small, WRITTEN + timedelta(days=1))
    again = {str(x["uid"]) for x in icalendar.Calendar.from_ical(later).walk("VEVENT")}
    assert again == set(entries(small))


def test_years_add_up(small):
    """Two stages and their development, 2 x 60 M + 12 M, are spent within the years told."""
    years = readings.years(small)
    assert sum(x.total for x in years) == pytest.approx(132e6)
    first = years[0]
    assert first.over == pytest.approx(first.total - 20e6)


def test_tables_say_the_critical_path(small):
    """The last flight is critical, and so is what holds it; all work is listed once."""
    path = programme.critical_path(small).frame
    assert list(path["work"])[-1] == "Second trial"
    assert len(programme.work(small).frame) == len(small.tasks)
    assert list(programme.launches(small).frame["mission"]) == ["First trial", "Second trial"]


def test_clashes_are_listed_with_what_was_tried(small):
    """Each once, its changes below it; as a table for files a row a change."""
    shown, table = programme.clashes(small).html, programme.remedies(small).frame
    changes = [remedy for x in small.clashes for remedy in x.remedies]
    assert shown.count("scheduled anew:") == len(changes) == len(table)
    assert all(shown.count(x.text) == 1 for x in small.clashes)
    assert shown.count("does not solve it") == (table["solves it"] == "no").sum()
    nothing = replace(small, clashes=())
    assert str(programme.clashes(nothing)) == str(programme.remedies(nothing)) == "Nothing clashes."


def test_next_dates_are_in_order_from_today(busy):
    days = [x.day for x in readings.next_dates(busy)]
    assert days == sorted(days)
    assert days[0] >= busy.programme.today
    assert any(x.hour == "07:30" and "correction" in x.what for x in readings.next_dates(busy))


def test_the_command_prints_80_columns(capsys):
    """Everything that is told fits a terminal of 80 columns; a missed deadline is told."""
    code = cli.main(["programme", SMALL, "--all"])
    out = capsys.readouterr().out
    assert max(map(len, out.splitlines())) <= 80
    for title in (
        "Flights",
        "Critical path",
        "Clashes",
        "Cost by year",
        "Next dates",
        "no commitment",
    ):
        assert title in out
    assert "after its deadline, 2032-01-31" in out.replace("\n", " ").replace("  ", " ")
    assert code == 0, "a missed deadline asks for a decision and stops nothing"


def test_the_command_writes_json_and_icalendar(capsys, tmp_path, small):
    """- is standard output; the JSON names its format and its units."""
    target = tmp_path / "small.ics"
    assert cli.main(["programme", SMALL, "--json", "-", "--ics", str(target)]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["format"] == "mplan-programme-calendar/1"
    assert {x["key"] for x in told["tasks"]} == {x.key for x in small.tasks}
    assert sum(x["amount_currency"] for x in told["costs"]) == pytest.approx(132e6)
    assert target.read_bytes().endswith(b"END:VCALENDAR\r\n")


def test_documents_obey_the_schema(busy):
    """Windows, a known hour, years without a budget; and the schema says what it takes.

    The clash of the small programme has remedies, so that every table is there once.
    """
    jsonschema.Draft202012Validator.check_schema(schema())
    told = json.loads(json.dumps(programme.document(busy)))
    jsonschema.validate(told, schema())
    assert all(told[name] for name in ("tasks", "events", "windows", "costs", "years", "clashes"))
    assert told["clashes"][0]["remedies"]
    assert {x["time_utc"] is None for x in told["events"]} == {True, False}
    for wrong in ({"finish": "soon"}, {"more": 1}, {"tasks": [{}]}):
        with pytest.raises(jsonschema.ValidationError):
            jsonschema.validate({**told, **wrong}, schema())


def test_the_schema_knows_every_kind_of_work():
    """What a task can be is told once in code and once in the schema."""
    tasks = schema()["properties"]["tasks"]["items"]["properties"]
    assert tasks["kind"]["enum"] == list(get_args(TaskKind))


def test_a_clash_that_stops_sets_the_exit_code(monkeypatch, small):
    """Exit code 1 where a clash stops the programme."""
    stopped = replace(small, clashes=(Clash("no", "stops the flight", ()),))
    monkeypatch.setattr(room, "plan_programme", lambda _, **more: stopped)
    assert cli.main(["programme", SMALL]) == 1


def test_bad_input(capsys, tmp_path):
    """A pad that is not there: file, line and key are named, exit code 2."""
    wrong = tmp_path / "wrong.toml"
    wrong.write_text(Path(SMALL).read_text("utf-8").replace('pad = "north"', 'pad = "south"', 1))
    assert cli.main(["programme", str(wrong)]) == 2
    assert "wrong.toml:27" in capsys.readouterr().err


NASTY = '<script>alert(1)</script> <b>bold</b> [bold]r[/bold] =HYPERLINK("x")'


@pytest.fixture(scope="module")
def nasty(small):
    """The small programme with names that some medium would obey."""
    names = {"name": NASTY, "test_flights.first_trial.name": NASTY, "currency": "<b>crown</b>"}
    return room.plan_programme(small.programme.change(names))


def test_names_are_letters_on_a_page(nasty):
    """Of what a report, a workbook and a panel show as HTML, nothing is markup of a name's."""
    shown = [programme.launches, programme.clashes, programme.work, programme.dates]
    shown += [programme.verdict, programme.made_from, programme.money]
    parts = [show(nasty).html for show in shown]
    parts += [page.programme_page(nasty, {}), programme.panel(nasty).said.value]
    for part in parts:
        assert "<script>alert" not in part
        assert "<b>bold" not in part
        assert "<b>crown" not in part
    assert any("&lt;script&gt;alert" in part for part in parts)


def test_names_are_letters_in_pictures(nasty):
    """What plotly would obey is taken for letters in the figure that a cell shows."""
    bundle, _ = programme.missions(nasty)._repr_mimebundle_()
    figure = bundle["application/vnd.plotly.v1+json"]
    del figure["layout"]["meta"]  # the summary, which no browser reads as markup
    figure = json.dumps(figure)
    assert "<b>bold" not in figure
    assert "<script>" not in figure
