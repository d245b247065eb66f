"""The climb as a leg of the mission: what its burns draw, when things go, how it is steered."""

from __future__ import annotations

import re
from math import log

import numpy as np
import pytest

import mplan
from mplan.checks import climb as climb_check
from mplan.physics.constants import DEG, G0
from mplan.scenario.wording import plain

STACK = ("first_stage", "second_stage", "transfer_stage")


def climb_burns(plan):
    return [burn for burn in plan.burns if burn.leg == "climb"]


def test_each_burn_takes_its_part(any_plan):
    """Needs, losses and propellant of the climb's burns are those of the flown climb."""
    climb = any_plan.flight.end.climb
    for burn, part in zip(climb_burns(any_plan), climb.parts, strict=True):
        assert burn.required == pytest.approx(part.ideal, abs=0.01)
        assert set(burn.losses) >= {"gravity", "drag", "steering", "pressure"}
        assert burn.propellant == pytest.approx(part.propellant)
        assert burn.estimate == ""
    assert any_plan.burns[0].losses["hold-down"] > 0.0


def test_burns_that_lose_nothing_on_the_way_obey_the_rocket_equation(any_plan):
    """The stages without a jettison in their burn: Tsiolkovsky, to the integration's error."""
    for burn in (climb_burns(any_plan)[0], climb_burns(any_plan)[2]):
        isp = any_plan.scenario.elements[burn.element].engines[burn.engine].isp_vacuum
        asked = isp * G0 * log(burn.mass / (burn.mass - burn.propellant))
        assert burn.required == pytest.approx(asked, abs=0.05)


def test_the_clock_is_that_of_the_climb(any_plan):
    """Ignitions, jettisons and insertion fall due when they were flown."""
    climb = any_plan.flight.end.climb
    marks = {(x.what, x.name): x for x in climb.track.events}
    for burn in climb_burns(any_plan)[1:]:
        assert burn.elapsed == pytest.approx(marks["ignition", burn.element].t)
    tower = next(x for x in any_plan.timeline if x.event == "jettison escape tower")
    gone = marks["jettisoned", "escape_tower"]
    assert tower.elapsed == pytest.approx(gone.t)
    weighs = any_plan.scenario.elements["escape_tower"].dry_mass
    grown = weighs * (1.0 + any_plan.scenario.margins.mass_growth)
    assert tower.mass == pytest.approx(gone.mass - grown)


def test_the_hold_down_counts_as_engine_time(landing_plan):
    """The first stage's engines have burned since before lift-off."""
    first = landing_plan.burns[0]
    assert first.burned == pytest.approx(first.duration + landing_plan.scenario.climb.hold_down)


def test_the_parking_orbit_begins_where_the_climb_ends(landing_plan):
    """Time and angle of the climb are those that the way to the Moon was found with."""
    climb, site = landing_plan.flight.end.climb, landing_plan.flight.end.outbound.parking.site
    assert site.climb == climb.duration
    assert site.downrange == climb.angle


def test_other_dates_fly_no_other_climb(reference_landing):
    """What does not touch the vehicle takes the climb that is known, while it is remembered."""
    planned = mplan.fly(reference_landing)  # anew: the tests before may have flown many others
    other = mplan.fly(reference_landing.change("dates.translunar_time", "80 h"))
    assert other.flight.end.climb is planned.flight.end.climb


def test_like_another_plan(reference_landing, landing_plan):
    """Steered as another plan's: quicker, nearly as good, and said."""
    heavier = reference_landing.change("elements.crew_module.dry_mass", "5.6 t")
    kept, best = mplan.fly(heavier, like=landing_plan), mplan.fly(heavier)
    left = best.flight.end.climb.left
    assert left - 30.0 < kept.flight.end.climb.left <= left + 1.0
    assert kept.burns[0].note == "steered as the optimised climb of Reference Landing"
    assert best.burns[0].note == ""


def test_a_stated_pitchover_angle(reference_landing, landing_plan):
    """It is flown as stated, by sliders too; a fifth more or less than the best leaves less."""
    left = {}
    for angle in ("4.43 deg", "5.537 deg", "6.64 deg"):
        plan = mplan.fly(
            reference_landing.change("climb.pitchover_angle", angle), like=landing_plan
        )
        climb = plan.flight.end.climb
        turned = 90.0 - np.interp(22.0, climb.track.t, climb.track.pitch) / DEG
        assert turned == pytest.approx(float(angle.split()[0]), abs=0.3)
        left[angle] = climb.left
    best = landing_plan.flight.end.climb.left
    assert left["5.537 deg"] == pytest.approx(best, abs=5.0)
    assert max(left["4.43 deg"], left["6.64 deg"]) < best - 1000.0


def test_an_acceleration_limit(reference_landing):
    """It is held, and without one a climb that presses the crew hard is pointed out."""
    free = reference_landing.change("climb.acceleration_limit", None)
    plan = mplan.fly(free)
    texts = [x.text for x in climb_check.findings(plan.flight)]
    assert any("acceleration rises to 5" in x for x in texts)
    held = mplan.fly(reference_landing)
    limit = reference_landing.climb.acceleration_limit
    assert held.flight.end.climb.most_acceleration.value <= 1.001 * limit
    assert not any("acceleration" in x.text for x in climb_check.findings(held.flight))


def test_stage_keys_are_flown(reference_landing, landing_plan):
    """A longer coast between stages and a slower build-up move the events by just as much."""
    later = mplan.fly(
        reference_landing.change(
            {
                "elements.first_stage.separation_coast": "9 s",
                "elements.second_stage.engines.main.build_up": "4 s",
            }
        )
    )
    was, now = landing_plan.flight.end.climb.parts, later.flight.end.climb.parts
    gap, settles = reference_landing.climb.separation_coast, reference_landing.climb.settling_time
    assert now[1].ignition - now[0].cut_off == pytest.approx(9.0 + settles)
    assert was[1].ignition - was[0].cut_off == pytest.approx(gap + settles)
    burned = [x[1].cut_off - x[1].ignition for x in (was, now)]
    assert burned[1] - burned[0] == pytest.approx(1.0, abs=1e-3)  # half of 2 s more to build up


def test_a_stage_that_runs_dry_stops_the_flight(reference_landing):
    """The flight ends there: what is lacking and where the vehicle comes down, nothing after it."""
    plan = mplan.fly(reference_landing.change("elements.lander_bay.dry_mass", "110 t"))
    assert not plan.closes
    assert not plan.complete
    assert not plan.flight.dated
    assert re.fullmatch(
        r"the transfer stage runs dry at \d+ km, [\d,]+ m/s short; "
        r"comes down [\d,]+ km from the pad at .*, [\d.]+ min after lift-off",
        plan.flight.ended.text,
    )
    assert plan.flight.ended.text in [x.text for x in plan.findings if x.rank == 0]
    assert plan.burns[-1].name == plan.flight.ended.event
    assert {burn.leg for burn in plan.burns} == {"climb"}
    assert plan.flight.duration == pytest.approx(plan.flight.climb.track.t[-1])
    assert plan.flight.splash is None


def test_a_second_stage_that_needs_no_help(reference_landing):
    """Where the stage below the last reaches the orbit by itself, it does, and that is said."""
    loads = {
        "elements.transfer_stage.tanks.hydrogen.load": "0.73 t",
        "elements.transfer_stage.tanks.oxygen.load": "4.16 t",
    }
    plan = mplan.fly(reference_landing.change(loads))
    second, third = plan.flight.end.climb.parts[1:]
    assert plan.flight.end.climb.reached
    assert third.propellant == 0.0
    assert second.left > 0.0
    assert plan.burns[2].duration == 0.0
    assert any("burns nothing in the climb" in x.text for x in plan.findings)


def test_a_second_stage_too_weak(reference_landing):
    """No steering helps: one finding stops the flight and says where the vehicle comes down."""
    plan = mplan.fly(reference_landing.change("elements.second_stage.engines.main.count", 1))
    stops = [x for x in plan.findings if x.severity == "stops the flight" and x.check == "climb"]
    assert len(stops) == 1
    assert "the thrust above the air does not carry the vehicle; the second stage ends" in (
        stops[0].text
    )


def test_a_stack_too_heavy_for_its_engines(reference_landing):
    """A stack that does not leave the pad is told by its thrust, once."""
    plan = mplan.fly(reference_landing.change("elements.first_stage.engines.lift.count", 4))
    stops = [x.text for x in plan.findings if x.rank == 0]
    assert any("does not leave the pad" in x for x in stops)
    assert not any("reach its orbit" in x for x in stops)


def test_boosters_of_a_scenario(reference_landing):
    """An element that burns beside another one: drawn empty, dropped in the burn."""
    booster = {
        "role": "launch stage",
        "beside": "first_stage",
        "dry_mass": "20 t",
        "length": "20 m",
        "diameter": "3 m",
        "tanks": {"grain": {"propellant": "solid propellant", "load": "200 t"}},
        "engines": {
            "motor": {
                "count": 2,
                "thrust_vacuum": "2400 kN",
                "isp_vacuum": "280 s",
                "starts": 1,
                "qualified_duration": "130 s",
                "fuel": "grain",
            }
        },
    }
    scenario = reference_landing.change(
        {
            "elements.booster": booster,
            "stack": ["booster", *reference_landing.stack],
            "events.1.beside": ["booster"],
            "events.2.elements": ["booster", "first_stage"],
            "launch_site.pad.platform_load": "3000 t",
            "launch_site.pad.door_height": "130 m",
        }
    )
    plan = mplan.fly(scenario)
    climb = plan.flight.end.climb
    gone = next(x for x in climb.track.events if x.what == "jettisoned" and x.name == "booster")
    load = 200e3 * (1.0 - scenario.margins.residuals)
    assert climb.vehicle.stages[0].boosters[0].propellant == pytest.approx(load)
    assert gone.t < climb.parts[0].cut_off
    assert plan.flight.end.ledger.propellant("booster") == pytest.approx(200e3 - load)


def test_boosters_go_at_their_own_time(first_landing):
    """A jettison of boosters and their core is two lines: each when it went, in order of time."""
    plan = mplan.fly(first_landing)
    track = plan.flight.end.climb.track
    for mark in (x for x in track.events if x.what == "jettisoned"):
        (line,) = [x for x in plan.timeline if x.event == f"jettison {plain(mark.name)}"]
        assert line.elapsed == pytest.approx(mark.t)
        assert mark.name not in line.craft
        after = track.mass[np.flatnonzero(track.t >= mark.t)[1]]
        assert line.mass == pytest.approx(after, rel=2e-3)  # a step of the track is burned by then
    names = [x.event for x in plan.timeline]
    assert names.index("jettison booster pair") < names.index("jettison core stage")
    times = [x.elapsed for x in plan.timeline]
    assert times == sorted(times)


def test_every_event_has_its_line(any_plan):
    """Nothing is lost in the timeline, and it is in order of time."""
    assert {x.event for x in any_plan.flight.moments} == {x.event for x in any_plan.timeline}
    times = [x.elapsed for x in any_plan.timeline]
    assert times == sorted(times)


def test_a_jettison_timed_past_its_burn(reference_landing):
    """It cannot go at the time it is given: that is told, and stops the flight."""
    index = next(i for i, x in enumerate(reference_landing.events) if x.do == "jettison" and x.at)
    late = mplan.fly(reference_landing.change(f"events.{index}.at", "900 s"))
    (found,) = [x for x in late.findings if x.check == "climb" and x.rank == 0]
    assert "jettison escape tower is timed 900 s after the ignition of second-stage" in found.text
