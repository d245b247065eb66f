"""A craft about to leave the Moon, and what of it goes home."""

from __future__ import annotations

from dataclasses import dataclass

from mplan.contingencies.ways_out.burners import NOTHING, Burner, LostEngines
from mplan.flight.record import Flight
from mplan.flight.state import Craft, State
from mplan.physics import constants as c
from mplan.physics.arcs.lunar_orbit import LunarOrbit
from mplan.scenario.wording import plain
from mplan.vehicle import inertia
from mplan.vehicle.evolved import evolved
from mplan.vehicle.stack import crew_module

READY = 30.0 * c.MINUTE  # from the call to the burn: to aim and turn (common practice, no source)


@dataclass(frozen=True)
class Leaving:
    """A craft about to leave the Moon: its state and what is joined, not `ready` before [TDB s].

    `orbit` is where its revolutions are counted from; `stores` a state that tells what the crew
    module weighs at home; `called` [s since lift-off] when the way out begins.
    """

    flight: Flight
    state: State
    craft: Craft
    orbit: LunarOrbit
    stores: State
    called: float
    lost: LostEngines = NOTHING

    @property
    def ready(self) -> float:
        """When a burn can be made at the earliest [TDB s]."""
        return self.state.t + READY

    @property
    def crew(self) -> int:
        """How many people go home in it."""
        return sum(self.state.crew.get(x, 0) for x in self.craft)


def needed(leaving: Leaving) -> frozenset[str]:
    """Return what the crew come home in: what makes the return burn in the plan, and its cabin."""
    burn = leaving.flight.burn_of("trans-Earth injection")
    home = {crew_module(leaving.flight.scenario)}
    return frozenset(home | (set(burn.craft) & set(leaving.craft) if burn else set()))


def kept_with(leaving: Leaving, burner: Burner) -> Craft:
    """Return what an engine pushes home: what is needed there, and what stands between; () if none.

    What its nozzles point at is dropped; where that is the cabin it leads nowhere.
    """
    line = inertia.in_line(leaving.craft, leaving.state.scenario)
    ends = [line.index(burner.element), line.index(crew_module(leaving.state.scenario))]
    between = line[min(ends) : max(ends) + 1]
    if crew_module(leaving.state.scenario) in burner.first:
        return ()
    kept = {*between, *needed(leaving)} - set(burner.first)
    return tuple(x for x in leaving.craft if x in kept)


def boarded(leaving: Leaving, kept: Craft) -> State:
    """Return the state with all of the craft's crew in the cabin, and nothing joined but `kept`."""
    others = tuple(x for x in leaving.state.craft if x != leaving.craft)
    crew = {x: n for x, n in leaving.state.crew.items() if x not in leaving.craft}
    crew[crew_module(leaving.state.scenario)] = leaving.crew
    return evolved(leaving.state, craft=(kept, *others), crew=crew)


def dropped_before(craft: Craft, kept: Craft) -> str:
    """Return in words what of a craft is dropped before a burn that pushes what is `kept`."""
    gone = [plain(x) for x in craft if x not in kept]
    return f"{', '.join(gone)} dropped before" if gone else ""
