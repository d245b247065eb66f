"""Ways out that are made up, as what shows them takes them."""

from __future__ import annotations

import pytest

from mplan.contingencies.ways_out.coverage import WaysBand, WaysCoverage, WaysGap, WaysSpan
from mplan.contingencies.ways_out.failures import FAILURES
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.contingencies.ways_out.way_out import LandingPlace, StillThere, WayBurn, WayOut
from mplan.flight.state import Arc
from mplan.physics.constants import DEG, HOUR
from mplan.studies.ways_out import WaysAsked

SHIP, LANDER = "crew_module", "ascent_stage"
EDGES = (75 * HOUR + 41 * 60.0, 76 * HOUR + 2 * 60.0)


@pytest.fixture
def home() -> WayOut:
    """A way home with all that can be told of one."""
    burn = WayBurn("return burn", "service_module", "main", 76 * HOUR, 700.0, 812.0)
    return WayOut(
        "direct return",
        75.0 * HOUR,
        ("service_module", SHIP),
        (burn,),
        home=140.0 * HOUR,
        lands=LandingPlace(-12.5 * DEG, 161.2 * DEG),
        left=StillThere(2.4, "oxygen", 0.31),
        note="the lander is dropped before",
    )


@pytest.fixture
def short_of(home) -> WayOut:
    """A way that lacks 60 m/s, by an estimate."""
    lacking = home.burns[0]._replace(available=640.0)
    return WayOut(
        "return with thrusters",
        75.0 * HOUR,
        home.craft,
        (lacking,),
        closed="lacks 60 m/s",
        estimate="a table",
    )


@pytest.fixture
def found(home, short_of) -> WaysCoverage:
    """A gap of 21 minutes of an engine, a minute of it in the lander, a stretch not examined."""
    begin, end = EDGES
    open_ = WaysSpan(0.0, begin, "open", ("direct return", "flyby"), home, "", "flyby")
    gap = WaysSpan(begin, end, "closed", (), short_of, "return with thrusters: lacks 60 m/s")
    rest = WaysSpan(end, 230 * HOUR, "not examined", (), None, "the stretch is not examined")
    whole = WaysSpan(0.0, 230 * HOUR, "open", ("direct return",), home, "", "direct return")
    brief = WaysSpan(100 * HOUR, 100 * HOUR + 48.0, "closed", (), None, "nothing leads home")
    bands = tuple(
        WaysBand(SHIP, each, (open_, gap, rest) if "engine" in each else (whole,))
        for each in FAILURES
    )
    lander = WaysBand(LANDER, "called off", (brief,))
    gaps = (
        WaysGap(SHIP, FAILURES[:2], begin, end, gap.reason, short_of),
        WaysGap(LANDER, ("called off",), brief.begin, brief.end, brief.reason, None),
    )
    return WaysCoverage((*bands, lander), gaps, 40)


@pytest.fixture
def asked(landing_plan, home, short_of) -> WaysAsked:
    """Asked of a real flight; its second half of the way there stands in for the arc home."""
    flight = landing_plan.flight
    there = flight.end.translunar_arcs[-1]
    drawn = WayOut(**{**vars(home), "arcs": (Arc(there.r, there.v, there.begin, there.end),)})
    point = CabinPoint(flight, SHIP, 75.0 * HOUR)
    return WaysAsked(point, "main engine lost", (drawn, short_of), fails="insertion")
