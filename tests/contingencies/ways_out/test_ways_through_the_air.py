"""Through the air: ballistic, with the bank to one side alone, and with a parachute lost."""

from __future__ import annotations

import numpy as np
import pytest

import mplan
from mplan.contingencies.ways_out import every, looks, through_air
from mplan.contingencies.ways_out.failures import FAILURES
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.physics import constants as c


def in_air(flight, since: float) -> CabinPoint:
    """A time [s] after the entry interface."""
    entry = flight.end.entry
    return CabinPoint(flight, "crew_module", entry.t - flight.end.lift_off + since)


def named(ways, begins: str):
    """The way whose name begins so."""
    return next(x for x in ways if x.name.startswith(begins))


@pytest.mark.parametrize("failure", FAILURES)
def test_nothing_burns_in_the_air(landing_plan, failure):
    """Whatever has failed, the ways down are the same, and the plan's is the first."""
    ways = every.ways_out(in_air(landing_plan.flight, 5.0), failure)
    assert ways[0].name == "entry as planned"
    assert all(x.burns == () for x in ways)
    assert len(ways) == 6


def test_a_ballistic_entry_is_shorter_and_harder(landing_plan):
    """Without lift it comes down short of the planned place, under a far greater load."""
    flight = landing_plan.flight
    point = in_air(flight, 1.0)
    here = through_air._InAir(point, flight.end.entry, 1.0)
    flown = through_air._ballistic(here)
    assert flown.peak.load > 1.5 * flight.end.entry.flown.peak.load
    assert flown.range < flight.end.entry.flown.range - 500e3
    found = named(every.ways_out(point, "called off"), "ballistic")
    assert found.home < flight.splash.t - flight.end.lift_off
    assert f"{flown.peak.load / c.G0:.1f} g" in found.note


def test_left_is_left(landing_plan):
    """Held to one side it comes down aside, the two sides apart by the path's own direction."""
    flight = landing_plan.flight
    point, entry = in_air(flight, 1.0), flight.end.entry
    here = through_air._InAir(point, entry, 1.0)
    straight = entry.straight.last
    places = {}
    for name, sense in through_air.SIDES:
        last = through_air._to_one_side(here, sense).last
        r, v = np.array(straight.state[:3]), np.array(straight.state[3:])
        right = np.cross(v, r)
        moved = np.array(last.state[:3]) - r
        places[name] = moved @ right / np.linalg.norm(right)
    assert places["left"] < -30e3
    assert places["right"] > 30e3


def test_late_there_is_little_left_to_lose(landing_plan):
    """Called when most of the speed has gone, a ballistic end is near the planned place."""
    flight = landing_plan.flight
    late = flight.end.entry.drogue_time - 40.0
    found = named(every.ways_out(in_air(flight, late), "called off"), "ballistic")
    off = float(found.note.split("splash ")[1].split(" km")[0].replace(",", ""))
    assert off < 10.0


def test_parachutes_lost_are_those_of_the_entry(landing_plan):
    """The speeds at touchdown are those that the plan's entry tells of one less."""
    flight = landing_plan.flight
    entry = flight.end.entry
    ways = every.ways_out(in_air(flight, entry.drogue_time + 10.0), "called off")
    assert [x.name.split(" of")[0] for x in ways[1:]] == [
        "one drogue parachute",
        "one main parachute",
    ]
    main = named(ways, "one main")
    assert f"{entry.one_main_less.touchdown:.1f} m/s" in main.note
    assert main.home < ways[0].home
    limit = entry.parachutes.touchdown_limit
    assert bool(main.closed) == (entry.one_main_less.touchdown > limit)


@pytest.mark.parametrize("table", ["aeroshell", "parachutes"])
def test_without_its_tables_nothing_is_examined(reference_landing, table):
    """An entry that is not flown says what is not examined, and that its splash is an estimate."""
    flight = mplan.fly(reference_landing.change(f"elements.crew_module.{table}", None)).flight
    splash = flight.splash.t - flight.end.lift_off
    ways = every.ways_out(CabinPoint(flight, "crew_module", splash - 60.0), "called off")
    assert len(ways) == 1
    assert "not examined" in ways[0].note
    assert ways[0].estimate


def test_what_is_left_at_splash_is_told(landing_plan):
    """As of any way that ends in minutes too."""
    point = in_air(landing_plan.flight, 30.0)
    for failure in FAILURES:
        good = [x for x in looks.ways_at(point, failure) if not x.closed]
        assert good
        assert all(x.left is not None and x.left.days > 0.0 for x in good)
        assert all(x.left.energy is None or 0.0 < x.left.energy < 1.0 for x in good)


def test_nothing_is_down_before_it_is_asked_for(landing_plan):
    """In the last second a parachute that had not opened would have the cabin down already."""
    flight = landing_plan.flight
    end = flight.splash.t - flight.end.lift_off
    early, late = (CabinPoint(flight, "crew_module", end - before) for before in (300.0, 1.0))
    fewer = {x.name for x in every.ways_out(early, "called off") if x.name.startswith("one ")}
    assert any("main" in name for name in fewer)
    ways = every.ways_out(late, "called off")
    assert all(x.home >= late.elapsed for x in ways)
    assert not fewer & {x.name for x in ways if x.home < end}
    assert looks.look(flight, "crew_module", late.elapsed).kinds == ("open",) * len(FAILURES)
