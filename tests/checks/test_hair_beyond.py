"""No check writes its limit and what it found alike, however little lies between them.

Each limit is set a ten-millionth inside what the demo mission does, and the mission flown again.
"""

from __future__ import annotations

import re
from dataclasses import replace
from types import SimpleNamespace

import pytest

import mplan
from mplan import checks
from mplan.checks import burns, crossfeed, power, settling, thrust
from mplan.checks.finding import Finding
from mplan.flight.record import BurnRecord, CrewStretch
from mplan.physics.burns.settling import USUAL
from mplan.physics.constants import DEG
from mplan.plan import Plan

HAIR = 1e-7
SHELL = "elements.crew_module.aeroshell"
CHUTES = "elements.crew_module.parachutes"


def first_number(text: str) -> float:
    return float(re.search(r"-?[\d,]*\d(\.\d+)?", text)[0].replace(",", ""))


def shows(finding: Finding) -> bool:
    """Tell whether limit and found, as written, are on the two sides that the limit says.

    And whether the numbers beside the words are those that are written, and beyond the limit.
    """
    limit, found = first_number(finding.limit), first_number(finding.found)
    measure = finding.figures.measure
    assert measure.left < 0.0
    assert measure.least is ("at most" not in finding.limit)
    assert (measure.limit, measure.found) == pytest.approx((limit, found), rel=0.02)
    return found < limit if measure.least else found > limit


def of_burns(plan: Plan, *burns: BurnRecord) -> SimpleNamespace:
    """Return what a check of burns reads of a flight, with other burns."""
    return SimpleNamespace(ended=None, burns=burns, scenario=plan.scenario)


def seconds(plan: Plan, element: str) -> float:
    return plan.flight.end.ledger.seconds[element, "main"]


def entry(plan: Plan):
    return plan.flight.end.entry


UPPER = [  # check, key, unit, what the demo mission does
    ("duration", "mission.longest_duration", "s", lambda p: p.flight.duration),
    ("qualified duration", "elements.descent_stage.engines.main.qualified_duration", "s",
     lambda p: seconds(p, "descent_stage")),
    ("longest burn", "elements.ascent_stage.engines.main.longest_burn", "s",
     lambda p: max(b.running for b in p.burns
                   if (b.element, b.engine) == ("ascent_stage", "main"))),
    ("entry", f"{SHELL}.rated_heating", "W/m2", lambda p: entry(p).heat.upper_peak),
    ("entry", f"{SHELL}.rated_heat_load", "J/m2", lambda p: entry(p).heat.upper_load),
    ("entry", f"{CHUTES}.drogues.pressure_limit", "Pa",
     lambda p: entry(p).descent.drogue_opening.pressure),
    ("entry", f"{CHUTES}.drogues.mach_limit", "", lambda p: entry(p).descent.drogue_opening.mach),
    ("entry", f"{CHUTES}.mains.pressure_limit", "Pa",
     lambda p: entry(p).descent.main_opening.pressure),
    ("entry", f"{CHUTES}.touchdown_limit", "m/s", lambda p: entry(p).descent.touchdown),
    ("landing", "descent.touchdown_limit", "m/s", lambda p: p.flight.end.descent.speed),
]  # fmt: skip


def broken(plan: Plan, key: str, unit: str, value: float, check: str) -> list[Finding]:
    """Return what a check finds on the mission with one key changed."""
    said = f"{value!r} {unit}" if unit else value
    found = mplan.fly(plan.scenario.change(key, said)).findings
    return [x for x in found if x.check == check and x.severity != "for information"]


@pytest.mark.parametrize(("check", "key", "unit", "does"), UPPER, ids=[x[1] for x in UPPER])
def test_a_hair_over_an_upper_limit(landing_plan, check, key, unit, does):
    """The found figure is written larger than the limit."""
    found = broken(landing_plan, key, unit, does(landing_plan) * (1.0 - HAIR), check)
    assert found
    assert all(map(shows, found)), [(x.limit, x.found) for x in found]


def test_a_hair_too_thin_a_shield(landing_plan):
    """What is there is written smaller than what is required, and what lacks is not zero."""
    least = landing_plan.flight.end.entry.shield_required
    key = f"{SHELL}.shield_areal_mass"
    (finding,) = broken(landing_plan, key, "kg/m2", least * (1.0 - HAIR), "entry")
    assert shows(finding)
    assert first_number(finding.text.split("nose, ")[1]) > 0.0


def test_a_hair_too_little_hover(landing_plan):
    """Seconds of hover a hair below the reserve."""
    least = landing_plan.flight.end.descent.seconds_left * (1.0 + HAIR)
    (finding,) = broken(landing_plan, "descent.reserve_time", "s", least, "landing")
    assert shows(finding)


def test_a_hair_too_little_energy(landing_plan):
    """Two joules that a cabin lacks for its last stretch, flown by itself."""
    cabin = "ascent_stage"
    alone = landing_plan.scenario.elements[cabin].power
    seconds = (alone.stored_energy + 2.0) / alone.load
    stretch = CrewStretch(cabin, 2, seconds, (cabin,))
    stays = {"stretches": (stretch,), "on_standby": (), "waits": {}}
    start = landing_plan.flight.start
    (finding,) = power.findings(
        SimpleNamespace(scenario=landing_plan.scenario, start=start, end=start, **stays)
    )
    assert shows(finding)
    assert " 0.0 kWh are lacking" not in finding.text


def test_a_sun_a_hair_too_high(landing_plan):
    """Its elevation is written above the limit next to it."""
    sun = checks.light.sun_at_landing(landing_plan.flight) / DEG * (1.0 - HAIR)
    (finding,) = broken(landing_plan, "landing_site.sun_max", "deg", sun, "light")
    low, high = map(float, re.findall(r"[\d.]+", finding.limit))
    assert float(finding.found.split()[0]) > sun > low
    assert finding.found != f"{high:.1f} deg"
    measure = finding.figures.measure
    limit = pytest.approx(high, rel=1e-5)  # written in six digits
    assert (measure.limit, measure.unit, measure.least) == (limit, "deg", False)
    assert measure.left < 0.0


@pytest.mark.parametrize("least", [1.0, thrust.BRISK])
def test_a_thrust_a_hair_too_low(landing_plan, least):
    """Of the weight, and of what is usual."""
    first = replace(landing_plan.burns[0], thrust_to_weight=least * (1.0 - HAIR))
    (finding,) = thrust.findings(of_burns(landing_plan, first))
    assert first_number(finding.found) < first_number(finding.limit)


def test_burns_a_hair_short(landing_plan):
    """Of what is required, and of the reserve; crossfeed tells the same lack."""
    lacks = 2.0 * burns.ROUNDING
    burn = landing_plan.burns[-1]
    for available in (burn.required - lacks, burn.required + burn.reserved - lacks):
        short = replace(burn, available=available, elsewhere={"ascent_stage": 1e-3})
        flight = of_burns(landing_plan, short)
        (finding,) = burns.findings(flight)
        assert shows(finding), (finding.limit, finding.found)
        assert finding.figures.measure.left == pytest.approx(-lacks)
        assert "lacks 0 m/s" not in finding.text
        for other in crossfeed.findings(flight):
            assert first_number(other.limit) == pytest.approx(lacks, rel=0.1)
            assert first_number(other.found) > 0.0


def test_settling_a_hair_too_weak(landing_plan):
    """Acceleration below what is usual, and propellant that lacks a gram."""
    burn = next(x for x in landing_plan.burns if x.settling and x.settling.element)
    weak = replace(burn.settling, acceleration=USUAL[0] * (1.0 - HAIR), lacks=1e-3)
    flight = of_burns(landing_plan, replace(burn, settling=weak))
    found = list(settling.findings(flight))
    assert len(found) == 2
    assert all(map(shows, found))
