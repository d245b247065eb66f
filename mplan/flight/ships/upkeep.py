"""A lunar orbit that has drifted is restored, by two burns half a revolution apart."""

from __future__ import annotations

from collections.abc import Sequence

from mplan.flight import lunar_orbit
from mplan.flight.state import Need, State
from mplan.physics.arcs.lunar_orbit import LunarOrbit
from mplan.physics.arcs.orbit import apsides
from mplan.physics.burns.orbit_upkeep import restored
from mplan.physics.constants import R_MOON
from mplan.physics.rocket import burn_time, propellant
from mplan.scenario import BurnEvent, Event
from mplan.vehicle.ledger import main_engine, thrust


def restore(state: State, burn: BurnEvent, ahead: Sequence[Event]) -> Need:
    """Return the burns that bring the orbit back to the planned apsides, as soon as may be.

    The first waits for the next good apsis. Their finite length is neglected.
    """
    plan = state.scenario
    done = restored(state.orbit, lunar_orbit.radius(plan), lunar_orbit.apolune(plan))
    at = state.until(done.first.t)
    then = at.until(done.after.t).on_orbit(done.after)
    _, engine = main_engine(plan.elements[burn.element], burn.engine)
    drawn = propellant(engine.isp_vacuum, at.mass(at.joined(burn.element)), done.total)
    was, now = (_perilune(x) for x in (done.first, done.after))
    sizes = " and ".join(f"{x:.1f}" for x in done.impulses)
    return Need(
        done.total,
        at,
        then,
        duration=burn_time(thrust(engine), engine.isp_vacuum, drawn),
        place=done.first.r,
        note=f"perilune from {was:.1f} to {now:.1f} km, burns of {sizes} m/s",
        starts=2,
    )


def _perilune(orbit: LunarOrbit) -> float:
    return (apsides(orbit)[0] - R_MOON) / 1e3
