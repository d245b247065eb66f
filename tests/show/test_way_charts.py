"""Charts of the way there and home: what they show is what was flown, and they say so."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest

import mplan
from mplan.checks.light import sun_at_landing
from mplan.physics import constants as c
from mplan.physics.bodies import ephemeris
from mplan.show import translunar
from mplan.show.drawn.figure import PICTURE, PLOTLY, Picture
from mplan.show.translunar import cost_map, launch_calendar, loop_curves, moon_view, turning_frame
from mplan.studies import loops, maps, windows
from mplan.studies.arrival import ground
from mplan.studies.windows import Chance, NoChance

HOURS = np.array([66.0, 76.0, 86.0]) * c.HOUR


@pytest.fixture(scope="module")
def answers(reference_landing):
    """Three days, and a day without a launch after them."""
    day = reference_landing.dates.launch_day
    found = windows.scan_windows(reference_landing, day, 3, workers=1)
    return [*found, NoChance(day + timedelta(days=3), "descending", "no arc")]


@pytest.fixture(scope="module")
def costs(landing_plan):
    """A small map with a hole in it."""
    found = maps.there(landing_plan, 3, HOURS)
    holed = found.delta_v.copy()
    holed[0, 1] = np.nan
    return replace(found, delta_v=holed)


@pytest.fixture(scope="module")
def family(landing_plan):
    free = loops.free_returns(landing_plan, [110e3, 1500e3])
    times = [free[0].translunar_time + x * c.HOUR for x in (-1.0, 0.0, 1.0)]
    return {110e3: loops.loop(landing_plan, 110e3, times)}, free


@pytest.fixture(scope="module", params=["light", "dark"])
def pictures(request, landing_plan, answers, costs, family):
    """Every new picture, on either page."""
    theme = request.param
    return [
        translunar.turning(landing_plan, theme=theme),
        translunar.approach(landing_plan, theme=theme),
        translunar.calendar(answers, landing_plan, theme=theme),
        Picture(cost_map.drawing(costs, "Both burns", theme)),
        Picture(loop_curves.drawing(*family, theme)),
    ]


def test_pictures_say_what_they_show(pictures):
    """Interactive, still and in one line of words; units on the axes; nothing that is no number."""
    for picture in pictures:
        bundle, about = picture._repr_mimebundle_()
        assert set(bundle) == {PICTURE, PLOTLY, "image/png", "text/plain"}
        assert about["image/png"]["alt"] == bundle["text/plain"] == picture.summary
        text = json.dumps(bundle[PLOTLY])
        assert "NaN" not in text
        assert "nan" not in bundle["text/plain"]
        assert "\n" not in bundle["text/plain"]
        titles = [picture.layout.xaxis.title.text, picture.layout.yaxis.title.text]
        assert all("[" in title for title in titles if title)
        assert "[" in titles[0]


def test_no_script_from_outside_goes_along(landing_plan):
    """Nothing else stands in for the picture: a page of plotly's own would ask the network."""
    assert translunar.turning(landing_plan)._repr_html_ is None


# The frame that turns


def test_the_moon_stands_still():
    """The Moon comes out at its mean distance on the axis, whenever it is asked for."""
    t = np.linspace(9e8, 9e8 + 30 * c.DAY, 7)
    places = turning_frame.flat(t, ephemeris.moon(t).r)
    assert places[:, 0] == pytest.approx(384_400.0)
    assert places[:, 1] == pytest.approx(0.0, abs=1e-6)


def test_paths_lead_from_earth_to_moon(any_plan):
    """Out begins in the parking orbit and ends at the Moon; home ends at the interface."""
    out, home = [x for x in turning_frame.drawing(any_plan).traces if x.get("name") in WAYS]
    begin = np.hypot(out["x"][0], out["y"][0])
    assert begin < 1.2 * (c.R_EARTH + any_plan.scenario.orbits.parking_altitude) / 1e3
    assert np.hypot(out["x"][-1] - 384_400, out["y"][-1]) < 3_000
    assert np.hypot(home["x"][0] - 384_400, home["y"][0]) < 3_000
    assert np.hypot(home["x"][-1], home["y"][-1]) < 1.2 * c.R_EARTH / 1e3


WAYS = ("to the Moon", "home")


def test_hours_stand_on_the_path(landing_plan):
    """Every twelfth hour has its dot, the first at 12 h."""
    marks = next(x for x in turning_frame.drawing(landing_plan).traces if "markers" in x["mode"])
    hours = [int(text.split()[0]) for text in marks["text"]]
    assert hours[0] == 12
    assert all(hour % 12 == 0 for hour in hours)


# The arrival


def test_arrival_is_at_the_planned_height(any_plan):
    """The arc comes down to perilune at zero, and comes from far."""
    scene = moon_view.seen(any_plan)
    distance = np.linalg.norm(scene.arc, axis=1)
    orbits = any_plan.scenario.orbits
    height = orbits.lunar_altitude or orbits.flyby_altitude
    assert distance.min() == pytest.approx(c.R_MOON + height, abs=200.0)
    assert abs(scene.minutes[np.argmin(distance)]) < 3.0
    assert distance[0] > 9_000e3


def test_site_lies_on_the_track_at_landing(landing_plan):
    """The orbit is aimed at the site: its track then passes within 0.3 deg, 9 km."""
    scene = moon_view.seen(landing_plan)
    track = dict(scene.tracks)["track at landing"]
    gaps = np.linalg.norm(track - scene.site, axis=1)
    along = np.linalg.norm(np.diff(track, axis=0), axis=1).max()
    nearest = np.sort(gaps)[:2]
    assert nearest.sum() < along + 2.0 * 9e3


def test_night_lies_where_the_sun_is_down(landing_plan):
    """The Sun's direction over the site is the height that the plan tells, within 0.1 deg.

    The one is seen from the Moon's centre, the other from the site: 0.001 deg apart; and the
    site is not on the sphere.
    """
    scene = moon_view.seen(landing_plan)
    height = np.arcsin(scene.sun @ scene.site / np.linalg.norm(scene.site))
    assert height == pytest.approx(sun_at_landing(landing_plan.flight), abs=0.1 * c.DEG)
    edge = moon_view._terminator(scene.sun)
    depth = np.sqrt(np.maximum(0.0, 1.0 - np.sum(edge**2, axis=1)))
    assert np.all(np.column_stack([edge, depth]) @ scene.sun < 1e-6)


def test_hidden_is_behind_the_disc():
    """What lies in front of the disc, or beside it, is seen."""
    places = c.R_MOON * np.array([[0, 0, -2], [0, 0, 2], [1.5, 0, -2], [0.5, 0.5, -0.1]])
    assert moon_view.hidden(places).tolist() == [True, False, False, True]


@pytest.mark.parametrize("latitude", [0.0, 26.0, -60.0, 89.0])
def test_axes_of_the_view_are_upright(latitude):
    """Right-handed unit axes, for a site near the pole as well."""
    site = ground(latitude * c.DEG, 40.0 * c.DEG)
    axes = moon_view.view(site, np.array([0.0, 0.6, 0.8]))
    assert axes @ axes.T == pytest.approx(np.eye(3), abs=1e-12)
    assert np.linalg.det(axes) == pytest.approx(1.0)
    assert axes[2] @ site > 0.5


# The calendar


def test_bars_are_the_windows(answers):
    """Each bar begins and ends when its window does, in the row of its day."""
    traces = launch_calendar.drawing(answers).traces
    bars = [x for x in traces if x["type"] == "bar"]
    assert sum(len(bar["x"]) for bar in bars) == len(windows.chances(answers))
    for chance in windows.chances(answers):
        bar = next(x for x in bars if x["name"].startswith(chance.side))
        row = (chance.day - answers[0].day).days + launch_calendar.LANE[chance.side]
        i = bar["y"].index(row)
        assert bar["base"][i] == pytest.approx(
            launch_calendar.hour_of(chance.opens, chance.day), abs=1e-3
        )
        assert bar["x"][i] == pytest.approx(chance.duration / c.HOUR, abs=1e-3)


def test_lanes_do_not_overlap():
    """Two bars of a day, and those of two days, stand clear of each other."""
    edges = sorted(x + y for x in launch_calendar.LANE.values() for y in (-0.18, 0.18))
    assert edges[1] < edges[2]
    assert edges[-1] - edges[0] < 1.0


def test_what_is_wrong_is_lettered(answers):
    """The letters are those of the key, and stand for what the scan found."""
    for chance in windows.chances(answers):
        letters = launch_calendar.letters(chance)
        assert ("C" in letters) == (not chance.plan_closes)
        assert ("S" in letters) == (chance.sun_fits is False)
        assert all(f"{letter} " in launch_calendar.KEY for letter in letters)


def test_a_day_without_a_launch_says_so(answers):
    words = launch_calendar.drawing(answers).traces[2]["text"]
    assert [text.strip() for text in words][-1] == "descending: no launch"


def test_lift_off_is_marked(answers, landing_plan):
    """The diamond stands in the bar of the planned day and side."""
    mark = launch_calendar.drawing(answers, landing_plan).traces[-1]
    chance = next(
        x
        for x in answers
        if isinstance(x, Chance)
        and x.day == landing_plan.scenario.dates.launch_day
        and x.side == landing_plan.scenario.dates.side
    )
    low, high = (launch_calendar.hour_of(x, chance.day) for x in (chance.opens, chance.closes))
    assert low < mark["x"][0] < high
    assert mark["y"] == [launch_calendar.LANE[chance.side]]


def test_an_empty_calendar_is_drawn(landing_plan):
    """A scan stopped before its first answer leaves an empty calendar, not an error."""
    assert "0 chances" in launch_calendar.drawing([], landing_plan).summary
    assert translunar.calendar([], landing_plan).png()


# The map


def test_cells_carry_their_numbers(costs):
    """The number in each cell is its delta-v; where no arc was found, that is said."""
    numbers = cost_map.drawing(costs, "Both").traces[1]
    for x, y, text in zip(numbers["x"], numbers["y"], numbers["text"], strict=True):
        value = costs.delta_v[y, x]
        assert text == ("no arc" if np.isnan(value) else f"{value:,.0f}")
    assert numbers["text"].count("no arc") == 1


def test_cheapest_cell_is_framed(costs):
    frame = cost_map.drawing(costs, "Both").traces[2]
    flight, start = costs.cheapest()
    assert np.mean([min(frame["x"]), max(frame["x"])]) == pytest.approx(start)
    assert np.mean([min(frame["y"]), max(frame["y"])]) == pytest.approx(flight)
    assert f"{np.nanmin(costs.delta_v):,.1f} m/s" in frame["name"]


def test_a_map_without_arcs_is_drawn(costs):
    empty = maps.Map(costs.starts, costs.flights, np.full_like(costs.delta_v, np.nan))
    assert cost_map.drawing(empty, "Both").summary == "Both: no arc found."
    assert Picture(cost_map.drawing(empty, "Both burns")).png()


def test_many_columns_are_numbered_seldom(costs):
    """A map of forty days has numbers in every third column, so that they do not run together."""
    wide = maps.Map(tuple(costs.starts) * 14, costs.flights, np.tile(costs.delta_v, 14))
    numbers = cost_map.drawing(wide, "Both").traces[1]
    columns = {x for x, text in zip(numbers["x"], numbers["text"], strict=True) if text != "no arc"}
    assert columns == set(range(0, 42, 3))


# The loops


def test_free_returns_lie_on_their_curves(family):
    """At the time of the free return the curve of its altitude has its perigee."""
    curves, free = family
    traces = loop_curves.drawing(curves, free).traces
    assert traces[1]["x"][1] == pytest.approx(traces[2 + len(curves) - 1]["x"][0], abs=1e-3)
    assert curves[110e3][1].return_perigee == pytest.approx(free[0].return_perigee, abs=2e3)


def test_no_free_return_is_said():
    assert loop_curves.drawing({}, []).summary.startswith("No free return found")


def test_hybrids_and_revolutions_are_tables(landing_plan):
    """Both have rows for a landing, and a sentence where the question does not arise."""
    flyby = mplan.fly(mplan.load(landing_plan.scenario.source.parent / "round_the_moon.toml"))
    for table in (translunar.hybrid_arcs, translunar.revolutions):
        assert "<table" in table(landing_plan)._repr_html_()
        assert "<table" not in table(flyby)._repr_html_()
