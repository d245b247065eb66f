"""Each kind of finding has a remedy: missions made to fail in one way, and what mends them."""

from __future__ import annotations

import ast
import inspect
from dataclasses import replace
from pathlib import Path
from typing import Any, NamedTuple

import pytest

import mplan
from mplan import checks
from mplan.checks.remedies import for_findings
from mplan.checks.remedies.table import PROPOSALS
from mplan.checks.remedies.trials import Trials

MISSIONS = Path(__file__).parent.parent / "missions"
CREW, SHIP, TOWER = "elements.crew_module", "elements.service_module", "elements.escape_tower"
DESCENT, ASCENT = "elements.descent_stage", "elements.ascent_stage"
PAD = "launch_site.pad"


class Fails(NamedTuple):
    """Changes of the reference landing, the check that finds it, and the start of a remedy."""

    check: str
    words: str  # of the finding
    changes: dict[str, Any]
    remedy: str


CASES = {
    "umbilicals": Fails(
        "pad", "umbilical", {f"{PAD}.umbilical_reach": "72 m"}, "first stage 1.60 m shorter"
    ),
    "platform": Fails(
        "pad", "too heavy", {f"{PAD}.platform_load": "2260 t"}, "16.46 t less propellant in the"
    ),
    "foot": Fails(
        "pad", "too wide at its foot", {f"{PAD}.foot_width": "9 m"}, "first stage within 9.00 m"
    ),
    "house": Fails(
        "fit", "reaches above", {"elements.lander_bay.length": "5 m"}, "the lander bay 8.40 m long"
    ),
    "skirt": Fails(
        "fit",
        "beyond its skirt",
        {"elements.first_stage.build.skirt_diameter": "6 m"},
        "a skirt of 6.48 m",
    ),
    "lift-off": Fails(
        "thrust",
        "slow lift-off",
        {"elements.first_stage.engines.lift.count": 5},
        "6 engines on the first stage",
    ),
    "qualified duration": Fails(
        "qualified duration",
        "in all",
        {f"{ASCENT}.engines.main.qualified_duration": "300 s"},
        "Storable-",
    ),
    "restart": Fails(
        "restart",
        "is started again",
        {f"{SHIP}.engines.main.restart_interval": "6 h"},
        "two revolutions in the capture orbit for 5.8 h",
    ),
    "docking cycles": Fails(
        "docking cycles",
        "docks 2 times",
        {f"{CREW}.docking_cycles": 1},
        "a docking port of the crew module qualified for 2 dockings",
    ),
    "thrusters' propellant": Fails(
        "delta-v",
        "rendezvous lacks",
        {f"{ASCENT}.tanks.thruster_fuel.load": "30 kg"},
        "29 kg more for the thrusters",
    ),
    "gimbal not stated": Fails(
        "control",
        "is not stated",
        {f"{SHIP}.engines.main.gimbal": None},
        "a gimbal of 0.5 deg",
    ),
    "fireball": Fails(
        "escape",
        "ends over the fireball",
        {f"{TOWER}.escape.side_thrust": "20 kN"},
        "48 kN of thrust aside",
    ),
    "pad escape": Fails(
        "escape",
        "fails on estimated loads",
        {f"{TOWER}.escape.thrust": "300 kN"},
        "a motor of ",
    ),
    "no abort": Fails(
        "escape", "no abort mode", {"aborts.peak_load": 6.0}, "the escape tower kept 90 s longer"
    ),
    "hover": Fails(
        "landing",
        "cannot hover",
        {f"{DESCENT}.engines.main.throttle_min": "70 %"},
        "the main engine of the descent stage made to throttle to 30 %",
    ),
    "terrain": Fails(
        "landing",
        "descent perilune",
        {"orbits.descent_perilune": "5 km", "landing_site.elevation": "1 km"},
        "descent perilune at 6.0 km",
    ),
    "window": Fails(
        "landing",
        "see the site",
        {"descent.window_edge": "40 deg"},
        "a window that shows 55 deg",
    ),
    "gear": Fails(
        "landing",
        "landing gear",
        {"descent.touchdown_speed": "2.5 m/s", "descent.touchdown_limit": "1.5 m/s"},
        "a touchdown at 1.2 m/s",
    ),
    "water": Fails(
        "supplies",
        "potable water",
        {f"{ASCENT}.supplies.potable_water": "8 kg"},
        "6.1 kg more potable water in the ascent stage, in 0.6 kg of container",
    ),
    "no canisters": Fails(
        "supplies",
        "carbon dioxide in the air",
        {f"{ASCENT}.supplies.lioh_canisters": None},
        "3 LiOH canisters of 3 kg",
    ),
    "canisters rated too high": Fails(
        "supplies",
        "more than it can take up",
        {f"{ASCENT}.supplies.lioh_canisters.rated": "70 h"},
        "3 LiOH canisters rated for 52.5 h each",
    ),
    "removal": Fails(
        "supplies",
        "is rated for 1 people",
        {f"{ASCENT}.supplies.co2_removal": {"name": "amine bed", "crew": 1}},
        "the amine bed for 2 people, 45 kg heavier",
    ),
    "rendezvous": Fails(
        "rendezvous",
        "does not fit",
        {"lunar_ascent.after_pass": "20 min"},
        "lift-off at the time the rendezvous requires",
    ),
    "corridor": Fails(
        "entry", "too shallow", {"orbits.entry_angle": "-5 deg"}, "an entry angle of -6.08 deg"
    ),
    "shield": Fails(
        "entry",
        "to ablate",
        {f"{CREW}.aeroshell.shield_areal_mass": "8 kg/m2"},
        "a heat shield of 16.8 kg/m2 that may ablate, 111 kg heavier",
    ),
    "heat load": Fails(
        "entry",
        "heat load",
        {f"{CREW}.aeroshell.rated_heat_load": "150 MJ/m2"},
        "a shield rated for 353 MJ/m2, 409 kg heavier",
    ),
    "drogues": Fails(
        "entry",
        "drogues open",
        {f"{CREW}.parachutes.drogues.pressure_limit": "5 kPa"},
        "drogues made for ",
    ),
    "mains": Fails(
        "entry",
        "meets the water",
        {f"{CREW}.parachutes.touchdown_limit": "9 m/s"},
        "3 mains of 31.1 m, 66 kg heavier",
    ),
    "light": Fails(
        "light", "Sun outside", {"dates.launch_day": "2031-06-03"}, "launch on 2031-05-25"
    ),
}


@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_a_kind_of_finding_has_a_remedy(reference_landing, landing_plan, case):
    """The mission fails in this way, and the change that is flown for it closes the plan."""
    plan = mplan.fly(reference_landing.change(case.changes), like=landing_plan)
    finding = next(x for x in plan.findings if x.check == case.check and case.words in x.text)
    assert finding.rank < 2
    alone = for_findings(plan.flight, (replace(finding, cause=""),))[0]
    assert any(x.closes for x in alone.remedies), alone
    assert any(x.change.startswith(case.remedy) for x in alone.remedies), alone.remedies
    assert alone.unsolved == ""


def test_a_crew_without_a_way_out_is_given_a_tower():
    """A stack without an escape tower gets one in proportion to its crew module, and its mass."""
    plan = mplan.fly(mplan.load(MISSIONS / "low_orbit.toml"), remedies=True)
    finding = next(x for x in plan.findings if x.check == "escape")
    (remedy,) = finding.remedies
    assert remedy.change == "an escape tower of 2.5 t on the float box"
    assert remedy.closes
    assert remedy.outcome.startswith("closes; lift-off mass +2.59 t, height +8.00 m")


def test_azimuths_that_are_tried_lie_within_the_limits(landing_plan):
    """Against a stage that comes down on land, other azimuths of the range are flown."""
    found = next(x for x in landing_plan.findings if x.check == "impact")
    site = landing_plan.scenario.launch_site
    tried = list(PROPOSALS["impact"](found, landing_plan.flight, Trials()))
    azimuths = [x.of(landing_plan.scenario).launch_site.azimuth for x in tried]
    assert len(azimuths) == 4
    assert min(azimuths) == pytest.approx(site.azimuth_min)
    assert max(azimuths) == pytest.approx(site.azimuth_max)


def test_every_check_has_proposals():
    """What a module of checks may find grave is in the table of proposals, by its name."""
    for_information = {"boil-off", "crossfeed", "contact", "hardware on the ground"}
    texts = {
        word
        for module in (*checks.ON_PAD, *checks.FLOWN, *checks.HOME)
        for word in _names_in(module)
    }
    assert texts - for_information <= set(PROPOSALS)
    assert len(texts) > 15


def _names_in(module: Any) -> set[str]:
    """Return the names of checks that a module's findings carry, read from its source."""
    found = set()
    for node in ast.walk(ast.parse(inspect.getsource(module))):
        if isinstance(node, ast.Call):
            name = getattr(node.func, "id", "")
            if name == "Finding":
                given = [x.value for x in node.keywords if x.arg == "check"] or node.args[1:2]
                found |= {x.value for x in given if isinstance(x, ast.Constant)}
    return found
