"""Escapes and aborts: the demo gets out at every moment; each failing is found and named."""

from __future__ import annotations

import pytest

import mplan
from mplan.checks import Finding, escape
from mplan.contingencies import climb_aborts, return_to_splash, tower_escape
from mplan.contingencies.abort_to_orbit import ALONE
from mplan.contingencies.climb_point import ClimbPoint
from mplan.flight import walk

TOWER = "elements.escape_tower.escape"


@pytest.fixture(scope="module")
def flight(reference_landing):
    return walk.fly(reference_landing)


def found(scenario: mplan.Scenario, **changes: object) -> list[Finding]:
    """Findings on getting out, with changes of the tower's table."""
    changed = {f"{TOWER}.{key}": value for key, value in changes.items()}
    return list(escape.findings(walk.fly(scenario.change(changed))))


def test_the_demo_is_silent(flight):
    """Its tower leaves the pad and the thickest air in time, and no gap follows it."""
    assert list(escape.findings(flight)) == []


def test_a_tower_too_weak(reference_landing):
    """Less thrust than weight does not draw away, and that stops the flight."""
    weak = found(reference_landing, thrust="90 kN")
    assert weak[0].severity == "stops the flight"
    assert weak[0].text.startswith(
        "an escape from the pad fails on estimated loads: the tower does not pull away"
    )
    assert weak[0].found == "thrust-to-weight 0.8"


def test_a_blast_too_near(reference_landing):
    """Without warning the blast overtakes it, on the pad and in the thickest air."""
    near = found(reference_landing, warning="0.5 s")
    assert [x.severity for x in near] == ["needs a decision"] * 2
    assert "the blast overtakes it with" in near[0].text
    assert "at maximum dynamic pressure, fails on estimated loads" in near[1].text


def test_too_low_for_parachutes(reference_landing):
    """A shorter burn leaves too low for the parachutes."""
    low = found(reference_landing, burn_time="1.8 s", propellant="900 kg")
    assert any("too low for its parachutes" in x.text for x in low)


def test_into_the_fireball(reference_landing):
    """Without side thrust it comes down where the fire is."""
    (straight,) = found(reference_landing, side_thrust="0 N")
    assert straight.text.startswith("an escape from the pad ends over the fireball")
    assert straight.found == "0 m"


def test_more_propellant_than_tower(reference_landing):
    """A motor cannot hold more than the tower weighs."""
    heavy = found(reference_landing, propellant="4 t")
    assert any("more propellant than the whole tower weighs" in x.text for x in heavy)


def test_a_gap_after_the_tower(reference_landing):
    """Where people stand less and no stage reaches orbit, the gap is found and each reason told."""
    strict = reference_landing.change({"aborts.peak_load": 3.0})
    texts = [x.text for x in escape.findings(walk.fly(strict))]
    assert len(texts) == 1
    assert texts[0].startswith("no abort mode is open at ")
    assert "the fall loads the crew with" in texts[0]
    assert "orbit, with the transfer stage" in texts[0]


def test_what_is_covered_is_what_any_mode_covers(reference_landing, flight):
    """The quickest modes are asked first; the answer is that of all of them."""
    strict = walk.fly(reference_landing.change("aborts.peak_load", 3.0))
    seen = set()
    for flown in (flight, strict):
        for i in range(1, len(flown.end.climb.track.t), 12):
            point = ClimbPoint(flown, i)
            covered = climb_aborts.is_covered(point)
            assert covered == any(not mode.closed for mode in climb_aborts.abort_modes(point))
            seen.add(covered)
    assert seen == {True, False}


def test_without_a_described_motor_there_is_no_way_out(reference_landing):
    """A tower without a motor is no means of escape, and that is to be decided."""
    plain = walk.fly(reference_landing.change(TOWER, None))
    (found,) = escape.findings(plain)
    assert (found.severity, found.found) == ("needs a decision", "none")
    way = tower_escape.tower_mode(ClimbPoint(plain, None))
    assert way.closed == "no escape tower is described"


def test_engines_that_run_on(reference_landing, flight):
    """A stack whose engines are not stopped is left more slowly at maximum dynamic pressure."""
    on = walk.fly(reference_landing.change(f"{TOWER}.engines_run", "1000 s"))
    index = int(flight.end.climb.track.dynamic_pressure.argmax())
    stopped, running = (tower_escape.escape_from(ClimbPoint(each, index)) for each in (flight, on))
    felt = float(flight.end.climb.track.acceleration[index])
    assert stopped.pull - running.pull == pytest.approx(felt - stopped.start.push, rel=1e-6)
    assert stopped.start.push < 0.0


def test_tanks_and_stack_along_the_climb(flight):
    """What the climb has lost half-way through a burn is gone from its tanks, not evenly in time:
    the engines throttle before the end. What was dropped is not there.
    """
    track = flight.end.climb.track
    burn = flight.burns[0]
    index = int(abs(track.t - (burn.elapsed + burn.duration / 2.0)).argmin())
    point = ClimbPoint(flight, index)
    left = point.state.ledger.propellant("first_stage")
    full = ClimbPoint(flight, None).state.ledger.propellant("first_stage")
    assert full - left == pytest.approx(burn.mass - track.mass[index], rel=1e-9)
    assert full - left > 0.52 * burn.propellant
    assert "first_stage" in point.stack
    late = ClimbPoint(flight, len(track.t) - 1)
    assert not {"first_stage", "second_stage", "escape_tower"} & set(late.stack)


def test_the_fall_has_a_peak_like_other_entries(flight):
    """Just before insertion the fall is shallow, mid-way steep: more load without lift than with.

    Allen and Eggers (NACA 1381) for the steepest: V2 sin(angle) / 2 e H of the path at 60 km.
    """
    track = flight.end.climb.track
    index = int(abs(track.t - 300.0).argmin())
    state = (*track.r[index].tolist(), *track.v[index].tolist())
    lifted = return_to_splash.falling(flight.passages[0].before)
    peak, until = return_to_splash.fall(state, lifted)
    plain, _ = return_to_splash.fall(state, lifted._replace(lift_to_drag=0.0))
    assert peak < plain
    assert 10.0 * 9.8 < plain < 25.0 * 9.8
    assert until > return_to_splash.TURN_ROUND


def test_to_orbit_takes_what_is_missing(flight):
    """Shortly before insertion the ship needs little more than the speed it lacks."""
    track = flight.end.climb.track
    index = len(track.t) - 4
    way = next(x for x in climb_aborts.abort_modes(ClimbPoint(flight, index)) if x.name == ALONE)
    assert way.closed == ""
    lacking = 7793.0 - float((track.v[index] ** 2).sum() ** 0.5)
    needed = float(way.figure.split()[1].replace(",", ""))
    assert lacking - 30.0 < needed < lacking + 120.0
