"""Bands and gaps of ways that are made up: edges, limits, what is left out or not examined."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from mplan.contingencies.ways_out import every, looks
from mplan.contingencies.ways_out.cells import SMALL, STOPS, TimeCell, cells, looked_over
from mplan.contingencies.ways_out.coverage import NOT_FLOWN, WaysCoverage, covered
from mplan.contingencies.ways_out.failures import FAILURES
from mplan.contingencies.ways_out.looks import WayLeft, WaysLook, look, ways_at
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.contingencies.ways_out.way_out import DOCKED, SPLASH, WayBurn, WayOut
from mplan.flight.record import Flight
from mplan.physics.constants import HOUR

SHIP, LANDER = "crew_module", "ascent_stage"


def looked_at(flight: Flight, least: float = 0.0, cabins: tuple[str, ...] = ()) -> WaysCoverage:
    """Return the coverage of all cells that end after a time."""
    asked = [cell for cell in cells(flight, cabins) if cell.end > least]
    return covered({x: looked_over(flight, x) for x in asked}, asked)


def test_cells_cover_all_time_with_people(two_launches):
    """Cabin by cabin the cells follow one another; a cabin without people has none."""
    lived = {SHIP: 0.0, LANDER: 0.0}
    for each in two_launches.stretches:
        lived[each.element] += each.duration
    found = cells(two_launches)
    for cabin, time in lived.items():
        own = [cell for cell in found if cell.cabin == cabin]
        assert sum(x.end - x.begin for x in own) == pytest.approx(time, abs=5.0)
        assert all(one.end <= then.begin + 1e-6 for one, then in pairwise(own))
    assert {x.cabin for x in found} == {SHIP, LANDER}


def test_a_cell_never_straddles_an_ignition(two_launches):
    """Burns begin and end at edges of cells: what is left changes there at once."""
    edges = {round(t, 3) for x in cells(two_launches) for t in (x.begin, x.end)}
    for burn in two_launches.burns:
        if burn.lit and burn.leg != "rendezvous":  # a row of burns, of which each is short
            assert round(burn.elapsed, 3) in edges or burn.elapsed <= 0.0


def test_a_gap_is_found_to_its_edge(landing_plan, made_up):
    """A gap of half an hour on the way to the Moon, of one failure, within what is stated."""
    flight = landing_plan.flight
    low, high = 30.0 * HOUR + 100.0, 34.5 * HOUR

    def closed(point, failure):
        return "lacks" * (failure == "main engine lost" and low <= point.elapsed < high)

    made_up(closed)
    found = looked_at(flight, cabins=(SHIP,))
    (gap,) = found.gaps
    assert gap.failures == ("main engine lost", "one engine lost")  # of an engine on its own
    assert gap.begin == pytest.approx(low, abs=60.0)
    assert gap.end == pytest.approx(high, abs=60.0)
    assert gap.reason == "the way: lacks"
    assert gap.nearest.margin == 50.0
    assert not found.stopped
    spans = {x.failure: x.spans for x in found.bands}
    assert [x.kind for x in spans["main engine lost"]] == ["open", "closed", "open"]
    assert [x.kind for x in spans["called off"]] == ["open"]


def test_what_no_part_examines_is_said(landing_plan, made_up):
    """A stretch without ways is not examined: neither open nor a gap."""
    made_up(lambda point, failure: "", ("to the Moon", "way home"))
    found = looked_at(landing_plan.flight, cabins=(SHIP,))
    assert found.gaps == ()
    kinds = {span.kind for _, span in found.unexamined()}
    assert kinds == {"not examined"}
    told = [span.reason for _, span in found.unexamined()]
    assert "the stretch 'climb' is not examined" in told


def test_no_way_at_all_is_a_gap(landing_plan, monkeypatch):
    """Where a part yields nothing, nothing leads home."""
    monkeypatch.setattr(every, "BY_STRETCH", {"way home": lambda point, failure: iter(())})
    flight = landing_plan.flight
    found = look(flight, SHIP, flight.duration - 10.0 * HOUR)
    assert {x.kind for x in found.seen.values()} == {"closed"}
    assert found.seen["called off"].reason == "there is no way home from there"


def test_what_could_not_be_flown_is_said(landing_plan, monkeypatch):
    """A solver that finds nothing gives no answer: neither open nor a gap."""

    def fails(point, failure):
        raise ArithmeticError("no arc was found")
        yield

    monkeypatch.setattr(every, "BY_STRETCH", {"way home": fails})
    flight = landing_plan.flight
    found = look(flight, SHIP, flight.duration - 10.0 * HOUR).seen["called off"]
    assert found.kind == "not examined"
    assert found.reason == "what was tried could not be flown: no arc was found"


def test_a_span_names_the_way_that_is_the_soonest_for_most_of_it():
    """Two ways in turn, the second for longer, then the first again: it is the second's span."""
    asked = [TimeCell(SHIP, 0.0, 60.0, 10.0)]

    def seen(elapsed: float, name: str, margin: float) -> WaysLook:
        burn = WayBurn("burn", SHIP, "main", elapsed, 100.0, 100.0 + margin)
        way = WayOut(name, elapsed, (SHIP,), (burn,))
        return WaysLook(SHIP, elapsed, {"called off": WayLeft("open", way)})

    looks = (seen(0.0, "a", 9.0), seen(20.0, "b", 5.0), seen(40.0, "b", 7.0), seen(59.0, "a", 8.0))
    (band,) = covered({asked[0]: looks}, asked, ("called off",)).bands
    (span,) = band.spans
    assert span.longest == "b"  # from 10 s to 49.5 s
    assert span.ways == ("a", "b")
    assert span.tightest.called == 20.0


@pytest.mark.parametrize(("lasts", "kind"), [(2.0, "not examined"), (4.0, "closed")])
def test_a_gap_of_a_moment_is_not_settled(landing_plan, lasts, kind):
    """Between open times a gap of 2 s is as likely one of the search; one of 4 s is a gap."""
    cell = TimeCell(SHIP, 0.0, 60.0, 30.0)
    way = WayOut("direct return", 0.0, (SHIP,), home=90.0)
    seen = {
        t: WayLeft("closed", None, "lacks 3 m/s") if t == 30.0 else WayLeft("open", way)
        for t in (0.0, 30.0 - lasts, 30.0, 30.0 + lasts, 60.0)
    }
    looks = [WaysLook(SHIP, t, {"called off": left}) for t, left in seen.items()]
    found = covered({cell: looks}, [cell], ("called off",))
    assert [x.kind for x in found.bands[0].spans] == ["open", kind, "open"]
    assert len(found.gaps) == (kind == "closed")


def test_cells_left_out_are_not_examined(landing_plan, made_up):
    """A study that was stopped keeps what it has and says what it has not."""
    made_up(lambda point, failure: "")
    asked = cells(landing_plan.flight, (SHIP,))
    half = asked[: len(asked) // 2]
    found = covered({x: looked_over(landing_plan.flight, x) for x in half}, asked)
    assert found.stopped
    for band in found.bands:
        assert [x.kind for x in band.spans] == ["open", "not examined"]
        assert band.spans[0].end == pytest.approx(half[-1].end)
        assert band.spans[-1].reason == NOT_FLOWN


def test_suits_limit_a_cabin_that_leaks(landing_plan, made_up):
    """Home in an hour; suits that last for less close the way, and only where the cabin leaks."""
    made_up(lambda point, failure: "")
    flight = landing_plan.flight
    short = flight.scenario.change("aborts.suited_time", "0.5 h")
    point = CabinPoint(replace(flight, scenario=short), SHIP, 30.0 * HOUR)
    assert (
        ways_at(point, "cabin leaks")[0].closed == "1.0 h in suits, and aborts.suited_time is 0.5 h"
    )
    assert ways_at(point, "called off")[0].closed == ""
    assert ways_at(CabinPoint(flight, SHIP, 30.0 * HOUR), "cabin leaks")[0].closed == ""


def test_supplies_limit_a_way(landing_plan, monkeypatch):
    """A way that is home after everything is used up is closed, and says by what."""

    def ways(point, failure):
        yield WayOut("round again", point.elapsed, point.craft, home=point.elapsed + 90 * 24 * HOUR)

    monkeypatch.setattr(every, "BY_STRETCH", {"to the Moon": ways})
    point = CabinPoint(landing_plan.flight, SHIP, 30.0 * HOUR)
    (found,) = ways_at(point, "called off")
    assert found.left.days < 0.0
    assert found.closed == f"{found.left.supply} runs out {-found.left.days:.1f} d before its end"


def test_docked_goes_on_with_the_ship(landing_plan, monkeypatch):
    """A lander back at the ship comes home as the ship does then; a ship that cannot, does not."""
    flight = landing_plan.flight
    lands = flight.burn_of("powered descent").elapsed
    shut = ""

    def back(point, failure):
        yield WayOut("back up", point.elapsed, point.craft, ends=DOCKED, home=lands + 3600.0)

    def return_burn(point):
        return (WayOut("return", point.elapsed, point.craft, home=lands + 90 * HOUR, closed=shut),)

    monkeypatch.setattr(every, "BY_STRETCH", {"way down": back})
    monkeypatch.setattr(every, "ways_once_docked", return_burn)
    point = CabinPoint(flight, LANDER, lands + 60.0)
    (found,) = ways_at(point, "called off")
    assert found.name == "back up, then return"
    assert found.ends == "splash"
    assert found.home == lands + 90 * HOUR
    assert found.left.days is not None
    shut = "lacks 12 m/s"
    assert ways_at(point, "called off")[0].closed == "lacks 12 m/s"


def test_best_way_is_home_soonest(landing_plan, monkeypatch):
    """Of open ways the first is the one that is home soonest; a closed one is never it."""

    def ways(point, failure):
        for name, hours, closed in (("b", 9, ""), ("a", 4, "shut"), ("c", 7, "")):
            home = point.elapsed + hours * HOUR
            yield WayOut(name, point.elapsed, point.craft, home=home, closed=closed)

    monkeypatch.setattr(every, "BY_STRETCH", {"to the Moon": ways})
    point = CabinPoint(landing_plan.flight, SHIP, 30.0 * HOUR)
    assert [x.name for x in ways_at(point, "called off")] == ["c", "b", "a"]
    assert set(look(landing_plan.flight, SHIP, 30.0 * HOUR).seen) == set(FAILURES)


def test_what_cannot_be_sooner_is_not_looked_into(landing_plan, monkeypatch):
    """Once a way is open nothing is asked of those that are home later; the answer is the same."""
    asked = []

    def noted(way, point, failure):
        asked.append(way.name)
        return way

    def ways(point, failure):
        for name, hours in (("later", 9), ("soonest", 4), ("docked", 3)):
            ends = DOCKED if name == "docked" else SPLASH
            yield WayOut(name, point.elapsed, (), ends=ends, home=point.elapsed + hours * HOUR)

    monkeypatch.setattr(every, "BY_STRETCH", {"to the Moon": ways})
    monkeypatch.setattr(every, "ways_once_docked", lambda point: ())
    monkeypatch.setattr(looks, "limited", noted)
    found = look(landing_plan.flight, SHIP, 30.0 * HOUR, ("called off",)).seen["called off"]
    assert found.way.name == "soonest"
    assert asked == ["docked", "soonest"]


def test_burns_that_give_little_are_looked_at_at_their_ends(landing_plan):
    """A correction changes nothing that a look in its middle would tell; an injection does."""
    flight = landing_plan.flight
    burns = {x.leg: x for x in flight.burns if x.lit}

    def steps(leg):
        burn = burns[leg]
        (cell,) = (x for x in cells(flight, (SHIP,)) if abs(x.begin - burn.elapsed) < 1e-6)
        return round((cell.end - cell.begin) / cell.step)

    assert burns["outbound correction"].required < SMALL < burns["translunar injection"].required
    assert steps("outbound correction") == 1
    assert steps("translunar injection") == STOPS
