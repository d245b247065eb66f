"""Returns called off in lunar orbit, and lift-offs once a revolution, July 1969.

What was read up to the crew, from the orbit that they were in: return burns for the fourth, fifth
and thirtieth revolution, and the lift-offs that a stay cut short would have had.
"""

from __future__ import annotations

from math import pi, radians, sqrt

import numpy as np
import pytest

from mplan.physics import constants as c
from mplan.physics.arcs.homeward import target_return
from mplan.physics.arcs.lunar_orbit import LunarOrbit, coast
from mplan.physics.arcs.recovery import Goal, target_recovery
from mplan.physics.bodies import selenography
from mplan.physics.rocket import burn_time, propellant
from mplan.physics.twobody import speed
from tests.published.conftest import DATA
from tests.published.test_moon_figure import FT, NMI, SITE, moment, state_of

ANGLE = radians(-6.48)  # at the interface, as the return that was flown (MSC-00171, table 7-II)
PACIFIC = Goal(radians(-165.0), 2.4e6)  # where returns called off were to end; from memory
TRACKED = SITE + (65.4 + 53.9) / 2.0 * NMI  # m, semi-major axis
PLACE = radians(0.6741), radians(23.473)  # of the landing, as later located (from memory)
POUND, ISP, THRUST = 0.45359237, 314.0, 91.2e3  # the ship's engine; from memory, for the half burn


@pytest.fixture(scope="module")
def circular(table):
    """The orbit after the second insertion burn, flown with the field to degree 8."""
    return LunarOrbit(*state_of(table("states_11")["second insertion cut-off"], SITE), 8)


@pytest.fixture(scope="module")
def ellipse(table):
    """The orbit after the first insertion burn (`lunar_burns.csv`)."""
    lines = (DATA / "lunar_burns.csv").read_text("utf-8").splitlines()
    row = next(x for x in lines if x.startswith("insertion,cut-off")).split(",")
    hours, minutes, seconds = (float(x) for x in row[2].split(":"))
    named = ("latitude_deg", "longitude_deg", "altitude_nmi", "speed_fps", "path_deg")
    state = dict(zip((*named, "heading_deg"), map(float, row[3:9]), strict=True))
    at = {"hours": hours, "minutes": minutes, "seconds": seconds, "body": "moon"}
    return LunarOrbit(*state_of({**state, **at}, SITE), 8)


def read_up(table, name):
    """When a burn is in its middle [TDB s], and its size [m/s]."""
    row = table("returns_called_off_11")[name]
    parts = (row["forward_ft_s"], row["right_ft_s"], row["down_ft_s"])
    size = FT * float(np.linalg.norm(parts))
    mass = row["weight_lb"] * POUND
    lasts = burn_time(THRUST, ISP, propellant(ISP, mass, size))
    return moment(0, 0, row["get"]) + lasts / 2.0, size


def before(orbit, t):
    """Return the orbit six tenths of a revolution before a time."""
    return coast(orbit, t - orbit.t - 0.6 * orbit.period)


@pytest.mark.parametrize(("name", "off"), [("TEI-5", 30.0), ("TEI-4", 180.0)])
def test_returns_that_were_not_needed(table, circular, ellipse, name, off):
    """To the mid-Pacific some sixty hours later: the burn within 0.5 %, its place within `off` s.

    The place is as good as the orbit after three or four revolutions: the circle's state is printed
    by the report, the ellipse's is from memory, 10 s a revolution for a foot a second.
    """
    middle, size = read_up(table, name)
    orbit = before(circular if name == "TEI-5" else ellipse, middle)
    found = target_recovery(orbit, time_of_flight=60.0 * c.HOUR, entry_angle=ANGLE, goal=PACIFIC)
    assert found.delta_v == pytest.approx(size, rel=5e-3)
    assert found.t == pytest.approx(middle, abs=off)
    assert found.interface.t - found.t == pytest.approx(60.0 * c.HOUR, abs=2.0 * c.HOUR)


def test_the_return_that_was_made(table, circular):
    """55 hours later in the time that was flown: within 1 %, the place within 3 min.

    The orbit is flown on for 28 revolutions, through undocking and venting that are not: 5 s each.
    """
    middle, size = read_up(table, "TEI-30")
    row = table("states_11")["entry interface"]
    arrives = moment(row["hours"], row["minutes"], row["seconds"])
    orbit = before(circular, middle)
    found = target_return(orbit, time_of_flight=arrives - middle, entry_angle=ANGLE)
    assert found.delta_v == pytest.approx(size, rel=0.01)
    assert found.t == pytest.approx(middle, abs=180.0)


def passes(orbit, guesses):
    """Return when an orbit passes the landing site, next to times [TDB s]."""
    for t in guesses:
        for _ in range(6):
            here = coast(orbit, t - orbit.t)
            site = selenography.site_position(*PLACE, t, 0.0)
            off = (here.angle_to(site) + pi) % (2.0 * pi) - pi
            t += off * sqrt(here.a**3 / c.MU_MOON)
        yield t


def test_lift_offs_are_a_revolution_apart(table, circular):
    """1 h 58 min 15 s, four times: the ship's time round to a site that turns towards it.

    Of the orbit as tracked, whose heights are printed to a tenth of a mile: 1 s. It was tracked
    "on the limited amount" of one pass: 6 s more are half a mile.
    """
    rows = [moment(0, 0, x["get"]) for x in table("lift_offs_11").values()]
    assert np.diff(rows) == pytest.approx(4 * [7095.0], abs=2.0)
    pace = speed(float(np.linalg.norm(circular.r)), TRACKED, c.MU_MOON)
    tracked = circular._replace(v=circular.v * pace / np.linalg.norm(circular.v))
    found = list(passes(tracked, rows))
    assert np.diff(found) == pytest.approx(np.diff(rows), abs=7.0)
    assert np.array(found) == pytest.approx(rows, abs=180.0)  # twelve revolutions on
