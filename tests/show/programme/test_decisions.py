"""What decisions cost, as tables and words, on a small programme; and its line of progress."""

from __future__ import annotations

import pytest

from mplan import cli
from mplan.programme import changed_design, longer_builds, missed_windows, plan_programme
from mplan.show import programme
from mplan.show import progress as progress_line
from mplan.show.programme import progress, readings

# Of the second trial: a window it cannot meet, the one it takes, and two that follow.
WINDOWS = [
    {"opens": f"{first}", "closes": f"{last}"}
    for first, last in (
        ("2031-09-01", "2031-09-03"),
        ("2032-10-01", "2032-10-05"),
        ("2032-11-01", "2032-11-01"),
        ("2032-12-01", "2032-12-05"),
    )
]


@pytest.fixture(scope="module")
def windowed(small):
    planned = small.programme.change("test_flights.second_trial.windows", WINDOWS)
    return plan_programme(planned, remedies=False)


def test_windows_are_counted(windowed):
    """One of four is missed; one that opens and closes on a day is told as that day."""
    [row] = programme.windows(windowed).frame.to_dict("records")
    assert row == {
        "mission": "Second trial",
        "windows": 4,
        "first opens": "2031-09-01",
        "missed": 1,
        "lifts off in": "2032-10-01 to 2032-10-05",
        "the next after it": "2032-11-01",
    }


def test_a_missed_window_costs_the_wait(windowed):
    """From 1 October to 1 November: 31 days, for the launch and for the programme's end."""
    [row] = programme.missed(windowed, missed_windows(windowed.programme)).frame.to_dict("records")
    assert row["next opens"] == "2032-11-01"
    assert row["lifts off later [d]"] == row["programme ends later [d]"] == 31


def test_no_windows_are_told_in_words(small):
    assert missed_windows(small.programme) == ()
    for found in (programme.windows(small), programme.missed(small, ())):
        assert str(found) == "No launch states windows: each lifts off on any day."


def test_another_design_in_days_and_money(small):
    """Development 40 d longer and 6 M dearer: what waits for it is 40 d later, all costs 6 M more.

    The line is as fast as before, so every unit shifts alike.
    """
    changes = {
        "elements.stage.development": "70 d",
        "elements.stage.development_cost": "18 M",
    }
    found = programme.design(small, changed_design(small.programme, changes))
    assert "40 d later" in str(found)
    assert "138.0 M crown, +6.0 M" in str(found)
    assert str(found).count(" 40\n") + str(found).endswith(" 40") == 2


def test_no_other_design(small):
    """Nothing laid over is no design; one that shifts nothing is told with its zeros."""
    said = str(programme.design(small, changed_design(small.programme, {})))
    assert said.startswith("No other design is stated")
    same = {"elements.stage.shipping": "10 d"}
    said = str(programme.design(small, changed_design(small.programme, same)))
    assert "on the same day" in said
    assert "+0.0 M" in said


def test_the_end_hangs_on_the_one_line(small):
    """Each unit takes 30 d longer on a line that begins one a year: the last is 30 d later."""
    frame = programme.slower(small, longer_builds(small.programme, 30), 30).frame
    assert frame["programme ends later [d]"].tolist() == [30]


def test_learning_saves_money_year_by_year(small):
    """Two units of 60 M; at a slope of 0.9 the second costs 54 M, so that 6 M are saved."""
    slope = {"curve": "unit", "slope": 0.9}
    cheaper = plan_programme(small.programme.change("learning", slope), remedies=False)
    frame = programme.learning(cheaper, small).frame
    total = frame.iloc[-1]
    assert total["learning saves [M crown]"] == pytest.approx(6.0, abs=0.05)
    assert frame["as planned [M crown]"].iloc[:-1].sum() == pytest.approx(126.0, abs=0.2)
    assert "states no [learning]" in str(programme.learning(small, small))


@pytest.fixture
def lines(monkeypatch):
    """What stood in the line under a cell, one after the other."""
    found = []

    class Handle:
        def update(self, words):
            found.append(str(words))

    def display(words, *, display_id):
        found.append(str(words))
        return Handle()

    monkeypatch.setattr(progress_line, "display", display)
    return found


def test_progress_becomes_the_verdict(small, lines, monkeypatch):
    """One line says what is flown, and at last what came of it."""

    def planned(programme, done):
        done(0, 2, "First")
        done(1, 2, "Second")
        done(2, 2, "calendar")
        return small

    monkeypatch.setattr(progress, "plan_programme", planned)
    assert programme.scheduled(small.programme) is small
    assert lines[:2] == [
        "First: 0 of 2 flown; to stop, interrupt the kernel.",
        "Second: 1 of 2 flown; to stop, interrupt the kernel.",
    ]
    assert lines[2] == ""
    assert lines[3].splitlines()[0] == readings.headline(small)


def test_what_is_stopped_is_said(small, lines, monkeypatch):
    def stop(programme, done):
        raise KeyboardInterrupt

    monkeypatch.setattr(progress, "plan_programme", stop)
    with pytest.raises(KeyboardInterrupt) as stopped:
        programme.scheduled(small.programme)
    told = stopped.value._render_traceback_()  # by IPython, in place of a traceback
    assert [x.split(" was ")[0] for x in told] == ["Interrupted: Stopped before there"]
    assert lines == []


def test_nothing_flown_shows_no_line(lines):
    programme.ProgressLine()(0, 0, "calendar")
    assert lines == []


def test_costs_add_up_by_mission_and_by_element(small):
    """Both tell the whole; the development of 12 M is shared by the missions that use the stage."""
    total = sum(x.amount for x in small.costs)
    for by in ("mission", "element"):
        rows = readings.costs_by(small, by)
        assert sum(x.recurring + x.nonrecurring for x in rows) == pytest.approx(total)
    shared = [x.nonrecurring for x in readings.costs_by(small, "mission") if x.nonrecurring]
    assert shared == pytest.approx([6e6, 6e6])
    [row] = [x for x in readings.costs_by(small, "element") if x.of == "stage"]
    assert (row.recurring, row.nonrecurring) == pytest.approx((120e6, 12e6))


def test_a_change_is_printed_beside_the_file(small, capsys):
    """Development 40 d longer and 6 M dearer, given on the command line: days and money."""
    changes = ["elements.stage.development=70 d", "elements.stage.development_cost=18 M"]
    asked = [part for x in changes for part in ("--with", x)]
    cli.main(["programme", str(small.programme.source), *asked])
    told = " ".join(capsys.readouterr().out.split())
    assert "Against the file the programme ends 40 d later" in told
    assert "138.0 M crown, +6.0 M" in told
    assert "What the change shifts" in told
