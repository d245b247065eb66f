"""An engine of a booster stops in the climb: the way on, control on the way, and what is left."""

from __future__ import annotations

import numpy as np
import pytest

import mplan
from mplan.contingencies import held
from mplan.contingencies.climb_aborts import abort_modes
from mplan.contingencies.engine_out import climb_with_engine_out
from mplan.contingencies.ways_out.climbing import off_the_climb
from mplan.contingencies.ways_out.climbing.with_one_less import climbs_on
from mplan.contingencies.ways_out.looks import look
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.flight.controlling import conditions, engine_out
from mplan.flight.record import Flight
from mplan.physics.climb.launch_vehicle import EngineOut
from mplan.scenario import Scenario
from mplan.vehicle.control import authority
from tests.conftest import MISSIONS

PAIR, CORE, CABIN = "girths", "saddle", "crupper"
FAILURE = "one engine lost"
MOTOR = f"elements.{PAIR}.engines.motor"


def mission(gimbal: str = "5 deg", count: int = 8) -> Scenario:
    """A core beside two boosters, of four engines each or of one."""
    found = mplan.load(MISSIONS / "northern_landing.toml").change(f"{MOTOR}.gimbal", gimbal)
    if count == 2:
        return found
    found = found.change(f"{MOTOR}.count", count)
    found = found.change(f"{MOTOR}.thrust_sea_level", "2700 kN")
    return found.change(f"{MOTOR}.thrust_vacuum", "3000 kN")


@pytest.fixture(scope="module")
def boosted() -> Flight:
    return mplan.fly(mission(), remedies=False).flight


@pytest.fixture(scope="module")
def stiff() -> Flight:
    """The same whose boosters' engines hardly swivel."""
    return mplan.fly(mission("0.3 deg"), remedies=False).flight


def on(flight: Flight, elapsed: float) -> dict:
    """What the climb goes on to, once an engine has stopped, by name."""
    found = off_the_climb.ways(CabinPoint(flight, CABIN, elapsed), FAILURE)
    return {x.name: x for x in found if x.name.startswith("climb with")}


def judged(flight: Flight, after: float, name: str = PAIR) -> held.ControlHeld:
    out = EngineOut(0, after, name)
    return held.judged(flight, out, climb_with_engine_out(flight.end.climb, out))


def test_one_of_core_and_one_of_booster_are_both_told(boosted):
    """As long as the boosters are there; later the core's alone."""
    names = set(on(boosted, 100.0))
    assert "climb with one engine of the saddle less" in names
    assert "climb with one engine of the girths less" in names
    assert set(on(boosted, 130.0)) == {"climb with one engine of the saddle less"}


def test_it_tells_what_is_left_and_how_much_control_takes(boosted):
    """The margin of the last stage, and the worst moment of control from the failure on."""
    way = on(boosted, 100.0)["climb with one engine of the girths less"]
    after = 100.0 - boosted.end.climb.parts[0].ignition
    flown = climb_with_engine_out(boosted.end.climb, EngineOut(0, after, PAIR))
    worst = judged(boosted, after).worst
    assert not way.closed
    assert way.note.startswith(f"{flown.left / 1e3:.1f} t left in the pommel")
    assert f"at most {100 * worst.share:.0f} % of the control authority" in way.note
    assert f"is required {worst.t:.0f} s after lift-off" in way.note


@pytest.mark.parametrize(("name", "after"), [(PAIR, 30.0), ("", 120.0)])
def test_no_moment_from_the_failure_on_is_worse(boosted, name, after):
    """Asked every half second, with the design wind in it: within a hundredth of the worst told."""
    out = EngineOut(0, after, name)
    burn = engine_out.of_climb(boosted, out, climb_with_engine_out(boosted.end.climb, out))
    gone = [x.t for x in burn.cast_off if burn.element in x.elements]
    times = np.arange(burn.t, min([burn.end, *gone]) - conditions.JUST_BEFORE, 0.5)
    found = [authority.of(burn.at("", float(t))) for t in times]
    worst = max(max(x.share("pitch"), x.share("roll")) for x in found)
    told = judged(boosted, after, name).worst
    assert told.share == pytest.approx(worst, rel=0.01)
    wind = {x.cause for x in authority.of(burn.at("", told.t)).demands}
    assert "aerodynamic moment at the design wind" in wind


def test_wind_counts(boosted):
    """Without the design wind the worst moment is less, and not where the air is thickest."""
    calm = boosted.scenario.change("control.design_wind", "0 m/s")
    still = mplan.fly(calm, remedies=False).flight
    assert judged(still, 30.0, "").worst.share < 0.8 * judged(boosted, 30.0, "").worst.share


def test_control_that_is_lost_later_closes_the_way(stiff):
    """The gimbals hold it for a while; before they do not, the crew leave as from any climb."""
    ways = on(stiff, 20.0)
    control = judged(stiff, 20.0 - stiff.end.climb.parts[0].ignition)
    assert control.lost is not None
    assert control.worst.share > 1.0
    closed = next(x for name, x in ways.items() if "girths less" in name and x.closed)
    assert f"control is lost {control.lost:.0f} s after lift-off" in closed.closed
    until = f"until {control.lost:.0f} s after lift-off, then escape tower"
    if control.lost > 21.0:
        assert any(name.endswith(until) for name in ways)


def test_control_is_lost_where_more_is_required_than_is_there(boosted):
    """Found by halving between two moments: before it is held, and then it is not."""
    out = EngineOut(0, 6.0, PAIR)
    for gimbal in np.arange(5.0, 0.0, -0.4):
        weak = boosted.scenario.change(f"{MOTOR}.gimbal", f"{gimbal:.1f} deg")
        flight = mplan.fly(weak, remedies=False).flight
        climb = climb_with_engine_out(flight.end.climb, out)
        found = held.judged(flight, out, climb)
        if found.lost is not None and found.lost > 10.0:
            break
    burn = engine_out.of_climb(flight, out, climb)
    share = [authority.of(burn.at("", t)).share("pitch") for t in (found.lost - 0.6, found.lost)]
    assert share[0] < 1.0 < share[1]
    assert found.left.mass(found.left.craft[0]) == pytest.approx(
        float(np.interp(found.lost, climb.track.t, climb.track.mass)), rel=1e-3
    )
    elapsed = 6.0 + flight.end.climb.parts[0].ignition
    ways = climbs_on(off_the_climb.climb_point(flight, elapsed), elapsed, out)
    late = [x for x in ways if f"until {found.lost:.0f} s after lift-off" in x.name]
    assert [x.name.split("then ")[1] for x in late] == ["escape tower"]
    assert late[0].craft == (CABIN,)
    assert late[0].called == elapsed


def test_gimbals_that_reach_further_hold_it(stiff, boosted):
    """The same failure at the same time: the larger range needs the smaller share of it."""
    assert judged(stiff, 60.0).worst.share > 1.5 * judged(boosted, 60.0).worst.share


def test_a_body_without_its_only_engine_is_not_held():
    """A pair of one engine each: the other's whole moment. The tower is what is left."""
    flight = mplan.fly(mission(count=2), remedies=False).flight
    ways = on(flight, 60.0)
    assert ways
    assert all(x.closed for x in ways.values())
    assert any("control is lost 60 s after lift-off" in x.closed for x in ways.values())
    seen = look(flight, CABIN, 60.0, (FAILURE,)).seen[FAILURE]
    assert seen.way.name == "escape tower"


def test_the_engine_that_leaves_no_way_decides():
    """One engine of the core would leave a way on, one of the pair does not: none is told of."""
    flight = mplan.fly(mission(count=2), remedies=False).flight
    after = 95.0 - flight.end.climb.parts[0].ignition
    assert climb_with_engine_out(flight.end.climb, EngineOut(0, after)).reached
    assert judged(flight, after, "").lost is None
    assert not any("saddle" in name for name in on(flight, 95.0))
    assert any("saddle" in name for name in on(flight, 120.0))


def test_a_core_with_one_engine_has_boosters_that_may_lose_one(boosted):
    """One engine lost is then not the main engine lost, as long as boosters burn."""
    engine = f"elements.{CORE}.engines.sustain"
    rated = boosted.scenario.elements[CORE].engines["sustain"]
    single = boosted.scenario.change(f"{engine}.thrust_vacuum", f"{4 * rated.thrust_vacuum} N")
    single = single.change(f"{engine}.thrust_sea_level", f"{4 * rated.thrust_sea_level} N")
    flight = mplan.fly(single.change(f"{engine}.count", 1), remedies=False).flight
    failures = ("main engine lost", FAILURE)
    early = look(flight, CABIN, 100.0, failures).seen
    late = look(flight, CABIN, 150.0, failures).seen
    assert early[FAILURE] is not early["main engine lost"]
    assert late[FAILURE] is late["main engine lost"]


def test_the_aborts_of_the_plan_are_there_too(boosted):
    point = off_the_climb.climb_point(boosted, 60.0)
    names = {mode.name for mode in abort_modes(point)}
    told = {x.name for x in off_the_climb.ways(CabinPoint(boosted, CABIN, 60.0), FAILURE)}
    assert names <= told
