"""A ship that waits in lunar orbit keeps its orbit, until another one comes to meet it.

Each time that its perilune has sunk to the limit of [orbit_upkeep] two burns restore the orbit, and
once more before it is met, so that the other one finds it where it should be. A planning study's
figures, no flight approval: the field to degree 8 leaves out some kilometres.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from mplan.flight import boil_off, burn, lunar_orbit
from mplan.flight.housekeeping import events as thrusters
from mplan.flight.living.drawn import drawn as lived
from mplan.flight.record import Moment, Passage
from mplan.flight.ships.joining import brought_forward
from mplan.flight.state import State
from mplan.flight.unflyable import Unflyable
from mplan.physics.arcs.orbit import apsides
from mplan.physics.burns.orbit_upkeep import sunk
from mplan.physics.constants import HOUR, R_MOON
from mplan.scenario import BurnEvent
from mplan.scenario.ships.upkeep import OrbitUpkeep

NEAR = 2e3  # m off its planned apsides: a circle to degree 8 breathes by as much
LEAD = 5.0 * HOUR  # s, before it is met: time for both burns
SOON = 6.0 * HOUR  # s: an orbit that has sunk again by then is not kept by such burns


def kept(state: State, name: str) -> State:
    """Return the state with the upkeep flown that the waiting ship `name` needs until now."""
    ship = state.waiting[name]
    plan = ship.scenario.orbit_upkeep
    if plan is None or ship.moon is None or ship.t >= state.t:
        return state
    passages = tuple(_burns(ship, name, plan, state.t))
    if not passages:
        return state
    return replace(
        state,
        waiting={**state.waiting, name: passages[-1].after},
        waits={**state.waits, name: passages},
    )


def _burns(ship: State, name: str, plan: OrbitUpkeep, until: float) -> Iterator[Passage]:
    lowest, last = R_MOON + plan.lowest_perilune, until - LEAD
    while (low := sunk(ship.orbit, lowest, last)) is not None and low.t < last:
        passage = _restored(ship, low.t, plan)
        _require_kept(passage, name, plan)
        yield passage
        ship = passage.after
    at = ship.until(max(ship.t, last))
    if _off(at) > NEAR and at.t <= last:
        yield _restored(ship, last, plan)


def _off(ship: State) -> float:
    """Return by how much [m] the apsides of a ship's orbit are off the planned ones."""
    planned = lunar_orbit.radius(ship.scenario), lunar_orbit.apolune(ship.scenario)
    return max(abs(x - y) for x, y in zip(apsides(ship.orbit), planned, strict=True))


def _restored(ship: State, t: float, plan: OrbitUpkeep) -> Passage:
    """Return the wait until `t` [TDB s] and the burns then."""
    before = brought_forward(ship, t)
    event = BurnEvent(do="burn", leg="orbit upkeep", element=plan.element, engine=plan.engine)
    after, record = burn.fly_burn(before, event, ())
    after = thrusters.after(before, event, lived(boil_off.drawn(after), before), record)
    moment = Moment(
        record.name, event.do, record.elapsed, record.mass, record.craft, False, record.note
    )
    return Passage(event, ship, after, moment, record)


def _require_kept(passage: Passage, name: str, plan: OrbitUpkeep) -> None:
    """Raise Unflyable where the orbit sinks below the limit again at once."""
    after = passage.after
    low = sunk(after.orbit, R_MOON + plan.lowest_perilune, after.t + SOON)
    if low is not None:
        highest = (apsides(after.until(after.t + SOON).orbit)[0] - R_MOON) / 1e3
        left = passage.before.scenario.ship != name
        key = ("left_by",) if left else ("orbit_upkeep", "lowest_perilune")
        raise Unflyable(
            ("ships", name, *key),
            f"found {plan.lowest_perilune / 1e3:g} km, below which the perilune sinks within hours "
            f"of each restoring; accepted: less than {highest:.0f} km",
        )
