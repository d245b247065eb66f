"""The panels of the way there and home without a browser, and the scan beside the sliders."""

from __future__ import annotations

import time
from threading import Event

import pytest

import mplan
from mplan.physics import constants as c
from mplan.show import homeward, translunar
from mplan.show.drawn.reference import behind
from mplan.show.homeward.panel import rest
from mplan.show.homeward.tables import facts as way_home
from mplan.show.panels import long_run
from mplan.show.translunar import scan
from mplan.show.translunar.tables import facts as way_out
from mplan.studies import windows
from tests.show.differences import without

LONG = 300.0  # s a thread may take before a test gives it up


@pytest.fixture(autouse=True)
def _raise(monkeypatch):
    """Let an error in a callback fail the test."""
    monkeypatch.setenv("MPLAN_RAISE", "1")


@pytest.fixture(scope="module")
def shared_going(reference_landing):
    return translunar.panel(reference_landing)


@pytest.fixture
def there(shared_going):
    shared_going.back.click()
    return shared_going


@pytest.fixture(scope="module")
def shared_coming(reference_landing):
    return homeward.panel(reference_landing)


@pytest.fixture
def home(shared_coming):
    shared_coming.back.click()
    return shared_coming


def test_figures_are_those_of_a_flight(there, reference_landing):
    """A move changes the line of figures to what a flight of that scenario gives."""
    there.controls["dates.translunar_time"].slider.value = 84.0
    plan = mplan.fly(reference_landing.change("dates.translunar_time", "84 h"))
    for value in way_out(plan).values():
        assert value in without(there.words.value)


def test_pictures_follow(there, landing_plan):
    """A move leaves each figure as if drawn afresh over the one of the file."""
    there.controls["dates.side"].value = "ascending"
    for figure, kind in zip(there.figures, there.charts, strict=True):
        fresh = behind(kind.drawing(there.plan), kind.drawing(landing_plan), "the file")
        assert [trace["x"] for trace in figure.traces] == [trace["x"] for trace in fresh.traces]
        assert figure.shown.layout.meta == fresh.summary


def test_azimuth_stays_within_its_limits(there):
    slider = there.controls["launch_site.azimuth"].slider
    assert (slider.min, slider.max) == pytest.approx((70.0, 112.0))


def test_whole_revolutions(there):
    there.controls["orbits.parking_revolutions"].slider.value = 2.0
    assert there.scenario.orbits.parking_revolutions == 2
    assert there.trouble.value == ""


def test_choices_go_back(there):
    there.controls["orbits.approach"].value = "prograde"
    assert there.scenario.orbits.approach == "prograde"
    there.back.click()
    assert there.scenario.changes == ()
    assert there.controls["orbits.approach"].value == "retrograde"


def test_fixed_clock_time_leaves_no_azimuth(there):
    at = there.plan.flight.utc(0.0)
    fixed = there.scenario.change("dates.launch_time", f"{at:%H:%M:%S}")
    keys = [knob.key for knob in there.knobs(fixed)]
    assert "launch_site.azimuth" not in keys
    assert "dates.translunar_time" in keys


def test_each_profile_has_its_panels(any_plan):
    """Either panel opens on every profile and tells what there is to tell."""
    out, back = translunar.panel(any_plan.scenario), homeward.panel(any_plan.scenario)
    assert any_plan.verdict in out.verdict.value
    assert ("none: it flies past" in out.words.value) == (
        any_plan.flight.end.free_return is not None
    )
    assert ("none: a free return" in back.words.value) == (any_plan.flight.end.homeward is None)
    assert ("recovery.longitude" in back.controls) == (any_plan.flight.end.homeward is not None)
    assert "Run this cell in JupyterLab" in out.still().html


def test_a_longitude_can_be_asked_for(home):
    """Switched on, the splash lies at the longitude; switched off, all is as in the file."""
    control = home.controls["recovery.longitude"]
    control.control.box.value = -150.0
    assert home.scenario.changes == (), "switched off, it does nothing"
    control.switch.value = True
    splash = home.plan.flight.splash
    assert splash.longitude / c.DEG == pytest.approx(-150.0, abs=0.1)
    assert not [x for x in home.plan.findings if x.check == "recovery"]
    control.switch.value = False
    assert home.scenario.changes == ()


@pytest.fixture(scope="module")
def shared_awaited(reference_landing):
    """The panel of a file with a recovery area."""
    middle = {"name": "the fleet", "latitude": "5 deg", "longitude": "-160 deg"}
    return homeward.panel(reference_landing.change("recovery", {**middle, "radius": "400 km"}))


@pytest.fixture
def awaited(shared_awaited):
    shared_awaited.back.click()
    return shared_awaited


def test_the_area_has_its_sliders(awaited, shared_coming):
    """Latitude, longitude and range where the file has an area; else the longitude alone."""
    keys = {"recovery.latitude", "recovery.longitude", "recovery.downrange"}
    assert keys <= set(awaited.controls)
    assert keys & set(shared_coming.controls) == {"recovery.longitude"}
    assert awaited.controls["recovery.latitude"].slider.description == "splash at latitude [deg]"
    assert awaited.controls["recovery.downrange"].value == 2400.0, "what the file leaves out"


def test_another_latitude_is_flown(awaited, reference_landing):
    """The splash moves towards it; the figures are those of a flight of that scenario."""
    before = awaited.plan.flight.splash.latitude
    awaited.controls["recovery.latitude"].slider.value = 1.0
    assert awaited.trouble.value == ""
    assert awaited.plan.flight.splash.latitude < before
    plan = mplan.fly(awaited.scenario)
    assert way_home(plan)["splash"] in without(awaited.words.value)


def test_a_longer_entry_is_flown(awaited):
    """The ship comes down where the return and its lift were aimed for."""
    awaited.controls["recovery.downrange"].slider.value = 2800.0
    assert awaited.plan.flight.splash.downrange == pytest.approx(2.8e6, abs=10e3)


def test_without_its_area_the_latitude_does_nothing(awaited):
    """Switched off, what was moved inside it is kept for later and not flown."""
    awaited.controls["recovery.latitude"].slider.value = 1.0
    awaited.controls["recovery.longitude"].switch.value = False
    assert awaited.trouble.value == ""
    assert awaited.scenario.recovery is None
    awaited.controls["recovery.longitude"].switch.value = True
    assert awaited.scenario.recovery.latitude == pytest.approx(1.0 * c.DEG)


def test_rest_before_the_return(home, reference_landing):
    """The last stated coast before the burn is the knob, and moves the burn by that much."""
    (key,) = [key for key in home.controls if key.startswith("events.")]
    event = reference_landing.events[int(key.split(".")[1])]
    assert event.name == "rest before the return"
    before = home.plan.flight.end.homeward.t
    home.controls[key].box.value += 12.0
    revolution = 2.0 * c.HOUR  # the burn waits for its place
    assert home.plan.flight.end.homeward.t - before == pytest.approx(12 * c.HOUR, abs=revolution)


def test_events_of_the_profile_give_no_rest():
    plan = mplan.load("scenarios/orbit_and_return.toml")
    assert rest(plan) == []


def test_entry_angle_is_flown(home):
    home.controls["orbits.entry_angle"].slider.value = -6.0
    assert "-6.00 deg" in home.words.value
    assert way_home(home.plan)["entry angle"] == "-6.00 deg"


# The scan


class Slow:
    """Stands in for the scan: answers when it is told to, and counts."""

    def __init__(self, answers):
        self.answers, self.go_on, self.seen = answers, Event(), []

    def scan(self, scenario, first, days, *, workers, done, so_far, stopped):
        assert workers > 1, "the integrator is not shared with the sliders' flights"
        for i in range(1, days + 1):
            done(i, days)
            so_far(lambda count=2 * i: self.answers[:count])
            time.sleep(0.01)
            if stopped():
                return self.answers[: 2 * i]
            if i == 3:
                assert self.go_on.wait(LONG)
        return self.answers


@pytest.fixture(scope="module")
def month(reference_landing):
    """Sixty answers, of which only two were flown: one day told thirty times."""
    day = reference_landing.dates.launch_day
    return windows.scan_windows(reference_landing, day, 1, workers=1) * 30


@pytest.fixture
def slow(there, month, monkeypatch):
    work = Slow(month)
    monkeypatch.setattr(scan.windows, "scan_windows", work.scan)
    yield work
    work.go_on.set()
    there.scan.thread.join(LONG)


def test_sliders_live_during_a_scan(there, slow):
    """While flights are under way the button rests, Stop can be pressed and sliders fly."""
    there.scan.start.click()
    assert there.scan.start.disabled
    assert not there.scan.stop.disabled
    there.controls["dates.translunar_time"].slider.value = 80.0
    assert there.scenario.dates.translunar_time == 80.0 * c.HOUR
    slow.go_on.set()
    there.scan.thread.join(LONG)
    assert not there.scan.start.disabled
    assert there.scan.stop.disabled
    assert there.scan.bar.value == there.scan.bar.max == 30
    assert "60 chances" in there.scan.saying.value


def test_stop_keeps_what_was_found(there, slow, month):
    there.scan.start.click()
    there.scan.stop.click()
    slow.go_on.set()
    there.scan.thread.join(LONG)
    count = len(there.scan.answers)
    assert 2 <= count <= 8
    assert f"Stopped at {count // 2} of 30 days." in there.scan.saying.value
    assert there.scan.figure is not None
    assert there.scan.table.value.count("<tr>") == 1 + count


def test_the_calendar_fills_as_the_scan_goes(there, slow, monkeypatch):
    """What has been found so far is drawn before the scan is over, and told in the table."""
    monkeypatch.setattr(scan.WindowScan, "pictured", 0.0)
    there.scan.start.click()
    until = time.monotonic() + LONG
    while there.scan.table.value.count("<tr>") != 1 + 6 and time.monotonic() < until:
        time.sleep(0.01)  # the table comes last
    assert len(there.scan.answers) == 6
    assert there.scan.thread.is_alive()
    assert there.scan.figure is not None
    assert there.scan.table.value.count("<tr>") == 1 + 6
    slow.go_on.set()
    there.scan.thread.join(LONG)
    assert len(there.scan.answers) == 60


def test_progress_is_told_seldom(there, slow):
    """At most ten times a second, however fast the flights are."""
    told = []
    there.scan.bar.observe(lambda change: told.append(time.monotonic()), "value")
    slow.go_on.set()
    begin = time.monotonic()
    there.scan.start.click()
    there.scan.thread.join(LONG)
    assert len(told) <= 3 + (time.monotonic() - begin) / long_run.SELDOM


def test_the_figure_waits_for_the_lock(there, slow):
    """While a slider's flight holds the lock, the thread touches no figure."""
    slow.go_on.set()
    there.scan.answers = []
    with there._lock:
        there.scan.start.click()
        there.scan.thread.join(2.0)
        assert there.scan.thread.is_alive()
        assert len(there.scan.answers) == 60
        assert "days flown" in there.scan.saying.value
    there.scan.thread.join(LONG)
    assert "Launch windows" in there.scan.saying.value


def test_a_scan_that_fails_says_so(there, monkeypatch):
    """An error in the thread is shown, and the button can be pressed again."""
    monkeypatch.delenv("MPLAN_RAISE")
    monkeypatch.setattr(scan.windows, "scan_windows", lambda *_, **__: 1 / 0)
    there.scan.start.click()
    there.scan.thread.join(LONG)
    assert "ZeroDivisionError" in there.scan.saying.value
    assert not there.scan.start.disabled


def test_a_scan_in_processes(there, monkeypatch):
    """For real: a day's two chances, flown elsewhere, are those flown here."""
    monkeypatch.setattr(scan, "DAYS", 1)
    there.scan.start.click()
    there.scan.thread.join(LONG)
    day = there.scenario.dates.launch_day
    assert there.scan.answers == windows.scan_windows(there.scenario, day, 1, workers=1)
    assert "2 chances" in there.scan.saying.value
