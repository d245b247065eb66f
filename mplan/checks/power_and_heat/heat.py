"""Do radiators reject what people and electric loads give off? A first-order balance by phase.

All electric power ends as heat within the cabin and what serves it; a person gives off the mean
of a day. What tanks boil off and what engines leave hot is neglected, and so is what walls store.
"""

from __future__ import annotations

from typing import NamedTuple

from mplan.flight.living.around import ON_MOON, around, phase_of
from mplan.flight.record import Flight, Passage
from mplan.physics.living.radiator import rejected
from mplan.scenario import Supplies
from mplan.scenario.living.heat import Radiators
from mplan.vehicle.living.energy import down_from
from mplan.vehicle.same import once


class HeatBalance(NamedTuple):
    """A cabin with what serves it through one phase; all in [W], the time in [s].

    `electric` loads, `people`, and what is `absorbed` beside the radiators, against what these can
    have `rejected` at their temperature.
    """

    cabin: str
    phase: str
    duration: float
    electric: float
    people: float
    absorbed: float
    rejected: float

    @property
    def heat(self) -> float:
        """All that is to be rejected."""
        return self.electric + self.people + self.absorbed

    @property
    def margin(self) -> float:
        """What the radiators could still reject; below zero what they cannot."""
        return self.rejected - self.heat


@once
def heat_balances(flight: Flight) -> tuple[HeatBalance, ...]:
    """Return the hottest balance of every cabin in use and phase, in flight order.

    None of a cabin without radiators, or whose heat evaporating water carries off.
    """
    found: dict[tuple[str, str], HeatBalance] = {}
    for passage in flight.passages:
        for each in _of(passage):
            key = (each.cabin, each.phase)
            if key not in found:
                found[key] = each
                continue
            hotter = max(found[key], each, key=lambda x: x.heat - x.rejected)
            found[key] = hotter._replace(duration=found[key].duration + each.duration)
    return tuple(found.values())


def without_radiators(flight: Flight) -> tuple[str, ...]:
    """Return the cabins in use whose heat is not examined, in stack order."""
    told = {each.cabin for each in heat_balances(flight)}
    lived = {each.element for each in flight.stretches}
    return tuple(x for x in flight.scenario.order if x in lived and x not in told)


def _of(passage: Passage) -> list[HeatBalance]:
    before, passed = passage.before, passage.after.elapsed - passage.before.elapsed
    if passed <= 0.0 or before.climbing:  # on the pad and in the climb nothing radiates yet
        return []
    scenario, found = before.scenario, []
    for cabin in (name for name, crew in before.crew.items() if crew):
        craft = before.joined(cabin)
        names = down_from(cabin, craft, scenario.elements)
        panels = [x for x in (scenario.elements[name].radiators for name in names) if x]
        if not panels or (scenario.elements[cabin].supplies or Supplies()).evaporative_cooling:
            continue
        there, phase = around(before, craft, passed), phase_of(before, craft)
        powers = [x for x in (scenario.elements[name].power for name in names) if x]
        balance = HeatBalance(
            cabin,
            phase,
            passed,
            sum(x.load_in(there.phase) for x in powers),
            before.crew[cabin] * scenario.crew_day.mean,
            sum(x.absorbed for x in panels),
            sum(_rejected(x, on_moon=phase == ON_MOON) for x in panels),
        )
        found.append(balance)
    return found


def _rejected(panel: Radiators, *, on_moon: bool) -> float:
    sink = panel.sink_on_moon if on_moon else panel.sink_temperature
    return rejected(panel.area, panel.emissivity, panel.temperature, sink)
