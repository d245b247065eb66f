"""Ships launched on their own meet in Earth orbit or about the Moon, and go on as one."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

import mplan
from mplan import checks
from mplan.checks import power
from mplan.flight import walk
from mplan.flight.housekeeping import events as housekeeping
from mplan.flight.unflyable import Unflyable
from mplan.physics import constants as c
from mplan.physics.arcs.lunar_orbit import coast
from mplan.physics.rendezvous.relative import orbit_at
from mplan.plan import Plan
from mplan.scenario import ScenarioError

SCENARIOS = Path(mplan.__file__).parents[1] / "scenarios"


@pytest.fixture(scope="module")
def low(two_launches):
    """Flown: the lander waits in Earth orbit."""
    return two_launches


@pytest.fixture(scope="module")
def high():
    """Flown: the lander waits in lunar orbit."""
    return walk.fly(mplan.load(SCENARIOS / "crew_follows.toml"))


def passage(flight, what: str):
    return next(x for x in flight.passages if what in (x.event.do, getattr(x.event, "leg", None)))


def test_they_meet_where_the_other_one_is(low):
    """At the end of the rendezvous both orbits have one plane, height and place."""
    meeting, _ = low.end.met[0]
    last = meeting.steps[-1]
    there = orbit_at(meeting.target, last.t)
    assert np.linalg.norm(last.after.r - there.r) < 50.0  # m: the station
    assert np.linalg.norm(last.after.v - there.v) < 0.1
    target = low.end.second.target  # which J2 hastens, as it does the other craft
    parking = target.parking
    faster = parking.rate + parking.node_rate * np.cos(parking.site.inclination)
    faster -= np.sqrt(c.MU_EARTH / parking.radius**3)
    gained = faster * (last.t - meeting.target.t) * target.parking.radius
    off = np.linalg.norm(target.at(last.t).r - there.r)
    assert off == pytest.approx(gained, rel=0.1)  # and the turn of the node across it


def test_thrusters_turn_the_craft_for_every_burn_of_the_meeting(low):
    """Beside the turns of the coast; mass and inertia hardly change from one burn to the next."""
    leg = passage(low, "Earth-orbit rendezvous")
    (burn,) = (x for x in low.burns if x.leg == "Earth-orbit rendezvous")

    def turns(state):
        drawn = state.thrusters.drawn.items()
        return sum(each.given for account, each in drawn if account.item == "turns")

    once = turns(housekeeping.turned(leg.before, leg.event)) - turns(leg.before)
    days = (leg.after.elapsed - leg.before.elapsed) / c.DAY
    budget = low.end.scenario.thruster_budget
    coasting = budget.turns_a_day * days / budget.burn_turns
    assert once > 0.0
    assert burn.starts == 7
    gone = turns(leg.after) - turns(leg.before)
    assert gone == pytest.approx((7.0 + coasting) * once, rel=0.05)


def test_the_second_launch_lies_in_the_plane(low):
    """Planes agree when the rendezvous begins; J2 parts them before."""
    second = low.end.second
    ours, theirs = (x.at(second.begins).normal for x in (second.chaser, second.target))
    assert np.degrees(np.arccos(min(1.0, float(ours @ theirs)))) < 0.01
    begin = (x.at(second.chaser.insertion).normal for x in (second.chaser, second.target))
    assert float(next(begin) @ next(begin)) < float(ours @ theirs)


def test_nothing_is_lost_when_they_join(low):
    """Joined they weigh what both did before, but for what the hour of docking takes."""
    docked = passage(low, "dock")
    ship, theirs = docked.before, docked.before.waiting["lander"]
    apart = ship.mass(ship.craft[0]) + sum(theirs.mass(x) for x in theirs.craft)
    joined = docked.after.joined("crew_module")
    assert set(joined) == set(ship.craft[0]) | {x for craft in theirs.craft for x in craft}
    lost = apart - docked.after.mass(joined)
    boiled = sum(docked.after.ledger.boiled.values()) - sum(theirs.ledger.boiled.values())
    assert boiled > 1e3  # kg: the departure stage has waited for a day
    assert lost == pytest.approx(boiled, abs=350.0)  # thrusters, and what people use


def test_one_clock(low):
    """Everything is told on the clock of the ship with the crew; the other lifted off before."""
    moments = low.every_moment
    first = next(x for x in moments if x.event == "lander: lift-off")
    other = low.others["lander"].end
    assert first.elapsed == pytest.approx(other.lift_off - low.end.lift_off)
    assert first.elapsed < -c.HOUR
    assert [x.elapsed for x in moments] == sorted(x.elapsed for x in moments)
    assert low.utc(first.elapsed).isoformat()[:10] == "2032-05-12"


def test_the_joined_ships_leave_when_the_first_one_planned(low):
    """The burn for the Moon takes place where the orbit of the ship that waited leads to it."""
    burn = low.burn_of("translunar injection")
    leaves = low.others["lander"].end.outbound.injection
    middle = low.end.lift_off + burn.elapsed + burn.duration / 2.0
    assert middle == pytest.approx(leaves, abs=1.0)
    assert {"crew_module", "ascent_stage", "departure_stage"} <= set(burn.craft)


def test_a_lander_sent_ahead_is_met_in_its_plane(high):
    """The ship turns into the lander's plane at insertion, and ends in its orbit."""
    circle = passage(high, "lunar-orbit circularisation").after
    lander = high.others["lander"].end
    theirs = coast(lander.orbit, circle.t - lander.t).normal
    assert np.degrees(np.arccos(float(circle.orbit.normal @ theirs))) < 0.5
    met = passage(high, "lunar-orbit rendezvous").after
    there = coast(lander.orbit, met.t - lander.t)
    assert np.linalg.norm(met.orbit.r - there.r) < 1e3
    assert met.orbit.a - c.R_MOON == pytest.approx(200e3, abs=5e3)


def test_the_lander_has_waited(high):
    """What boils off in the days of its wait is gone when the crew come."""
    docked = passage(high, "dock")
    ship = docked.before.waiting["lander"]
    days = (docked.before.t - ship.t) / c.DAY
    assert days > 5.0
    gone = docked.after.ledger.boiled_off("descent_stage") - ship.ledger.boiled_off("descent_stage")
    heat = 2.0 * 45.0 * days * c.DAY / 0.5e6  # W of both tanks; methane and oxygen take 0.5 and 0.2
    assert heat < gone < 3.0 * heat


def test_energy_is_drawn_while_it_waits(high):
    """Without its panels the stand-by loads come out of store from lift-off to the docking."""
    dark = walk.fly_like(high.scenario.change("elements.braking_stage.power.arrays"), high)
    wait = dark.waits["lander"]
    drawn = sum(wait.end.ledger.account(x).drawn for x in wait.end.craft[0])
    assert drawn == pytest.approx(290.0 * wait.end.elapsed)  # W of three elements
    assert [x.left for x in power.used(dark) if x.element == "braking_stage"] == [0.0]
    (told,) = (x for x in checks.of(dark) if x.check == "power")
    assert told.text.startswith("ascent stage with descent stage runs out of electric energy: ")
    heavy = dark.scenario.change("elements.ascent_stage.power.standby_load", "600 W")
    told = [x for x in checks.of(walk.fly_like(heavy, dark)) if x.check == "power"]
    assert any(
        x.ship == "lander" and "runs out of electric energy on stand-by" in x.text for x in told
    )


def test_the_wait_is_told(high):
    """With its length, on the clock of the crew; loads that nobody stated are not counted."""
    line = next(x for x in high.every_moment if x.event == "lander: waits until it is met")
    other = high.others["lander"].end
    assert line.elapsed == pytest.approx(other.t - high.end.lift_off)
    assert line.note == "6.6 d"
    assert not [x for x in checks.of(high) if x.check == "power"]
    keys = [f"elements.{x}_stage.power.standby_load" for x in ("braking", "descent", "ascent")]
    silent = walk.fly_like(high.scenario.change(dict.fromkeys(keys)), high)
    (told,) = (x for x in checks.of(silent) if x.check == "power")
    assert "none of its elements states a standby_load" in told.text


def test_the_site_lies_in_the_plane_of_a_lander_that_waits(high):
    """The plane that the lander arrives in holds the site when the crew come down, days later."""
    assert passage(high, "land").after.landed
    assert high.burn_of("powered descent").losses.get("plane", 0.0) < 5.0


def test_met_too_late(low):
    """A burn for the Moon that is due before the ships have met is refused, with what would do."""
    early = low.scenario.change("ships.lander.orbits.parking_revolutions", 20)
    with pytest.raises(Unflyable, match="or more, or an earlier meeting"):
        walk.fly_like(early, low)


def test_launched_before_the_ship_to_be_met(low):
    """Nobody meets what is not there yet."""
    before = low.scenario.change("dates.launch_day", "2032-05-10")
    with pytest.raises(Unflyable, match="after the ship to be met has reached its orbit"):
        walk.fly_like(before, low)


def test_a_clock_time_and_a_ship_to_be_met_at_the_moon(high):
    """A fixed lift-off is the crew's alone; they still arrive in the plane of the lander."""
    flown = walk.fly_like(high.scenario.change("dates.launch_time", "07:00:00"), high)
    assert f"{flown.utc(0.0):%H:%M:%S}" == "07:00:00"
    assert flown.others["lander"].end.lift_off == high.others["lander"].end.lift_off
    circle, lander = passage(flown, "lunar-orbit circularisation").after, flown.others["lander"].end
    theirs = coast(lander.orbit, circle.t - lander.t).normal
    assert np.degrees(np.arccos(float(circle.orbit.normal @ theirs))) < 0.5
    assert passage(flown, "land").after.landed
    with pytest.raises(Unflyable, match="when the launch azimuth lies from") as caught:
        walk.fly_like(high.scenario.change("dates.launch_time", "23:30:00"), high)
    assert caught.value.path == ("dates", "launch_time")


def test_a_clock_time_and_a_ship_to_be_met_in_earth_orbit(low):
    """The ship that waits decides: the minute of a pass is flown, any other is refused."""
    day = low.utc(0.0)
    same = walk.fly_like(low.scenario.change("dates.launch_time", f"{day:%H:%M}:30"), low)
    assert same.end.lift_off == pytest.approx(low.end.lift_off, abs=1e-3)
    with pytest.raises(Unflyable, match=f"accepted: {day:%Y-%m-%d %H:%M}:.* UTC, when the launch"):
        walk.fly_like(low.scenario.change("dates.launch_time", "11:00:00"), low)


def test_a_lander_that_comes_after_its_crew(high):
    """A ship that is not there yet when the other comes is refused, with when it would be."""
    late = high.scenario.change(
        {
            "ships.lander.dates.launch_day": "2032-05-16",
            "ships.lander.launch_site.azimuth": "82 deg",
        }
    )
    with pytest.raises(Unflyable, match="a day on which it is there by") as caught:
        walk.fly_like(late, high)
    assert caught.value.path == ("ships", "lander", "dates", "launch_day")


def test_docked_without_a_rendezvous(low):
    """Nobody docks to a ship that no rendezvous has led to."""
    events = low.scenario.events_as_written()
    without = [x for x in events if x.get("leg") != "Earth-orbit rendezvous"]
    with pytest.raises(Unflyable, match="no rendezvous has led to lander"):
        walk.fly_like(low.scenario.change("events", without), low)


def test_no_ship_waits(low):
    """A rendezvous with nobody is refused."""
    alone = mplan.load(SCENARIOS / "first_landing.toml")
    events = alone.events_as_written()
    place = next(i for i, x in enumerate(events) if x.get("leg") == "translunar injection")
    meeting = {"do": "burn", "leg": "Earth-orbit rendezvous", "element": "departure_stage"}
    with pytest.raises(Unflyable, match="no ship waits in Earth orbit"):
        walk.fly(alone.change("events", [*events[:place], meeting, *events[place:]]))


@pytest.mark.parametrize(
    ("key", "value", "text"),
    [
        ("ships.lander.stack", ["core_stage", "crew_core"], "is in the stack of the main ship"),
        ("ships.lander.mission.crew", 2, "accepted: 0, the crew lift off with the main ship"),
        ("ships.lander.dates.launch_day", "soon", "not a date"),
        ("ships.lander.stack", ["core_stage", "nothing"], "no element is called"),
    ],
)
def test_what_a_file_states_wrong(low, key, value, text):
    """One message, with the key under the ship."""
    with pytest.raises(ScenarioError, match=text) as caught:
        low.scenario.change(key, value)
    assert "ships.lander" in str(caught.value)


def test_planes_that_cannot_meet(low):
    """A launch site that never comes under the waiting ship's orbit is told by its latitude."""
    north = low.scenario.change({"launch_site.latitude": "40 deg", "launch_site.azimuth": "90 deg"})
    low_plane = north.change({"ships.lander.launch_site.latitude": "-14.4 deg"})
    with pytest.raises(Unflyable, match="never comes into a plane inclined"):
        walk.fly_like(low_plane, low)


@pytest.mark.parametrize("together", [False, True])
def test_events_of_all_ships_can_be_pasted(low, tmp_path, together):
    """What `mplan events` prints stands for what the profiles say: the same mission."""
    text = (SCENARIOS / "two_launches.toml").read_text("utf-8")
    text = text.replace(
        '"first_landing.toml"', f'"{(SCENARIOS / "first_landing.toml").as_posix()}"'
    )
    for folder in ("elements", "engines"):
        text = text.replace(f'"{folder}/', f'"{(SCENARIOS / folder).as_posix()}/')
    file = tmp_path / "pasted.toml"
    file.write_text(text + low.scenario.events_as_toml(together=together), "utf-8")
    again = mplan.load(file)
    assert again.events == low.scenario.events
    assert again.views["lander"].events == low.scenario.views["lander"].events


def test_findings_on_a_ship_go_by_its_name(low):
    """What a check says of a ship launched on its own names it, and its severity can be set."""
    plan = Plan(low, checks.of(low))
    theirs = [x for x in plan.findings if x.ship == "lander"]
    assert theirs
    assert all(x.text.startswith("lander: ") or "lander: " in x.text for x in theirs)
    setting = {"severity": {"impact": "needs a decision"}}
    asked = walk.fly_like(low.scenario.change(setting), low)
    raised = [x for x in checks.of(asked) if x.ship == "lander" and x.check == "impact"]
    assert raised
    assert {x.severity for x in raised} == {"needs a decision"}


def test_a_base_that_cannot_be_read(tmp_path):
    """The file that names a base is told with its line."""
    file = tmp_path / "mine.toml"
    file.write_text('format = "mplan-scenario/2"\nbased_on = "nowhere.toml"\n', "utf-8")
    with pytest.raises(
        ScenarioError, match=r"mine.toml:2: based_on: found .nowhere.toml., no such"
    ):
        mplan.load(file)
