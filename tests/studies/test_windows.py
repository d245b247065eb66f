"""Launch windows: every chance flown, its edges on the limits, whoever does the work."""

from __future__ import annotations

from datetime import date, timedelta

import jsonschema
import pytest

import mplan
from mplan.contingencies import failed_insertion
from mplan.flight.launch import over_ground
from mplan.physics import constants as c
from mplan.show import launch_windows
from mplan.studies import windows

FIRST = date(2031, 5, 21)


@pytest.fixture(scope="module")
def answers(reference_landing):
    return windows.scan_windows(reference_landing, FIRST, 4, workers=1)


def test_every_day_and_side_is_answered(answers):
    """A day's answers by side; a day without a launch on a side says why."""
    assert [(x.day.day, x.side) for x in answers] == [
        (day, side) for day in range(21, 25) for side in windows.SIDES
    ]
    without = [x for x in answers if isinstance(x, windows.NoChance)]
    assert [(x.day.day, x.side) for x in without] == [(23, "ascending")]
    assert "has no launch on the ascending side" in without[0].why


def test_edges_lie_on_the_azimuth_limits(answers, reference_landing):
    """A window opens and closes where the azimuth reaches its limits, the planned one between."""
    site = reference_landing.launch_site
    limits = {round(site.azimuth_min, 9), round(site.azimuth_max, 9)}
    for chance in windows.chances(answers):
        assert {round(chance.azimuth_opening, 9), round(chance.azimuth_closing, 9)} == limits
        assert chance.opens < chance.lift_off < chance.closes


def test_a_chance_is_the_plan_of_that_day(answers, reference_landing):
    """What the table says of a day is what flying the day gives."""
    chance = windows.chances(answers)[-1]
    plan = mplan.fly(
        reference_landing.change({"dates.launch_day": chance.day, "dates.side": chance.side})
    )
    assert chance.verdict == plan.verdict
    assert chance.lift_off == plan.flight.utc(0.0)
    assert chance.injection_delta_v == plan.flight.end.outbound.delta_v


def test_a_launch_at_the_edge_takes_the_limit(answers, reference_landing):
    """A mission launched by the clock at the opening flies the opening's azimuth."""
    chance = windows.chances(answers)[0]
    opening = chance.opens
    plan = mplan.fly(
        reference_landing.change(
            {"dates.launch_day": opening.date(), "dates.launch_time": opening.time()}
        )
    )
    azimuth = over_ground(plan.scenario, plan.flight.end.outbound.azimuth)
    # the climb is 0.2 s longer or shorter along another azimuth: a thousandth of a degree
    assert azimuth / c.DEG == pytest.approx(chance.azimuth_opening / c.DEG, abs=0.01)


def test_workers_change_nothing(answers, reference_landing):
    """Two processes give the same numbers as none."""
    assert windows.scan_windows(reference_landing, FIRST, 4, workers=2) == answers


def test_progress_and_stop(reference_landing):
    """Each flight is counted, and a scan that is stopped keeps what it has."""
    seen = []
    found = windows.scan_windows(
        reference_landing,
        FIRST,
        4,
        workers=1,
        done=lambda done, total: seen.append((done, total)),
        stopped=lambda: len(seen) == 3,
    )
    assert seen == [(1, 4), (2, 4), (3, 4)]
    assert {x.day.day for x in found} == {21, 22, 23}


def test_near_the_greatest_declination_a_window_ends_where_planes_do(reference_landing):
    """From 20 deg south due east no plane reaches a Moon 21 deg from the equator.

    The edge is then the last azimuth that has an arc, not the limit of the range.
    """
    flat = reference_landing.change({"launch_site.azimuth_max": "90 deg"})
    chance = next(x for x in windows.of_day(flat, date(2031, 5, 19)) if x.side == "descending")
    assert abs(chance.moon_declination) / c.DEG > 21.0
    assert max(chance.azimuth_opening, chance.azimuth_closing) / c.DEG < 89.0


def test_what_a_failed_insertion_leads_to(answers, reference_landing):
    """Each chance says what flying its day says; a flyby has nothing to insert."""
    chance = windows.chances(answers)[-1]
    changes = {"dates.launch_day": chance.day, "dates.side": chance.side}
    plan = mplan.fly(reference_landing.change(changes))
    assert chance.failed == failed_insertion.of(plan.flight)
    row = launch_windows.frame(answers).iloc[-1]
    assert row["its perigee [km]"] == round(chance.failed.perigee / 1e3)
    assert row["correction [m/s]"] == round(chance.failed.correction, 1)
    flyby = mplan.load(reference_landing.source.parent / "round_the_moon.toml")
    found = windows.of_day(flyby, flyby.dates.launch_day)
    assert {x.failed for x in windows.chances(found)} == {None}
    assert "correction [m/s]" not in launch_windows.frame(found).columns


def test_the_document(answers, reference_landing):
    """Windows as JSON: one entry a chance, the others with their reason."""
    document = launch_windows.document(reference_landing, answers)
    jsonschema.validate(
        document,
        {
            "required": ["format", "scenario", "windows", "without"],
            "properties": {"format": {"const": "mplan-windows/2"}},
        },
    )
    assert len(document["windows"]) == 7
    assert len(document["without"]) == 1
    assert document["windows"][0]["opens_utc"].endswith("+00:00")
    assert document["windows"][0]["insertion_fails"]["arc"] == "comes back to Earth"


@pytest.fixture(scope="module")
def near_the_equator(reference_landing):
    """A launch from 5.2 deg north due east, which misses a Moon 17 deg from the equator."""
    return reference_landing.change(
        {
            "launch_site.latitude": "5.2 deg",
            "launch_site.azimuth": "90 deg",
            "launch_site.azimuth_min": "72 deg",
            "launch_site.azimuth_max": "108 deg",
        }
    )


def test_where_the_planned_azimuth_misses_the_moon_another_is_flown(near_the_equator):
    """As near to the planned one as leads there; two windows on each side, in order."""
    found = windows.of_day(near_the_equator, date(2034, 6, 16))
    assert [(x.side, x.number) for x in found] == [
        (side, number) for side in windows.SIDES for number in (1, 2)
    ]
    site = near_the_equator.launch_site
    for chance in found:
        assert not chance.planned
        assert chance.opens < chance.lift_off < chance.closes
        assert site.azimuth_min < chance.azimuth < site.azimuth_max
        edges = (chance.azimuth_opening, chance.azimuth_closing)
        nearest = min(abs(x - site.azimuth) for x in edges)
        assert abs(chance.azimuth - site.azimuth) / c.DEG < nearest / c.DEG + 0.1


def test_a_launch_time_inside_a_window_flies_and_outside_the_hours_are_named(near_the_equator):
    """The hours between two windows are refused, with those that are open."""
    found = windows.chances(windows.of_day(near_the_equator, date(2034, 6, 16)))
    base = near_the_equator.change("dates.launch_day", date(2034, 6, 16))
    for chance in found:
        middle = chance.lift_off.replace(microsecond=0)
        plan = mplan.fly(base.change("dates.launch_time", middle.time()))
        plane = plan.flight.end.outbound.azimuth
        assert plane == pytest.approx(chance.plane_azimuth, abs=0.2 * c.DEG)
        along = over_ground(plan.scenario, plane)
        assert along == pytest.approx(chance.azimuth, abs=0.2 * c.DEG)
    between = max(x.closes for x in found if x.number == 1)
    hours = r"00:00 to 02:42 or 07:52 to 13:10(?: or [\d: to]+)?"
    text = rf"accepted: {hours}, when the launch azimuth lies"
    with pytest.raises(mplan.ScenarioError, match=text):
        mplan.fly(base.change("dates.launch_time", (between + timedelta(hours=2)).time()))


def test_orders(answers):
    """Best first; what has no launch comes last."""
    for by in windows.ORDERS:
        told = windows.ordered(answers, by)
        assert sorted(map(str, told)) == sorted(map(str, answers))
        assert isinstance(told[-1], windows.NoChance)
    margins = [x.tightest_margin for x in windows.chances(windows.ordered(answers, "margin"))]
    assert margins == sorted(margins, reverse=True)
    assert windows.good(answers) == [x for x in windows.chances(answers) if x.plan_closes]
