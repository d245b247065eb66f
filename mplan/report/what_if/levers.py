"""What a reader of a report can set: a few values of the file, each at stops that are flown."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta
from math import ceil, floor, log10
from typing import Any

from mplan.flight.record import BurnRecord
from mplan.plan import Plan
from mplan.scenario import Scenario
from mplan.scenario.changes import dotted
from mplan.scenario.wording import plain
from mplan.show.panels import knobs
from mplan.show.panels.knobs import Knob
from mplan.studies.sensitivities.differences import ends
from mplan.studies.sensitivities.variations import built
from mplan.studies.sizing import freed, laying
from mplan.vehicle import layout

PAYLOAD = "mission.payload_down"
# From stop to stop, in the unit of each knob; a profile has those of its own.
STEPS = {
    knobs.LAUNCH_DAY: 1.0,
    "dates.translunar_time": 3.0,
    "mission.surface_stay": 6.0,
    "mission.lunar_orbit_stay": 12.0,
    "orbits.flyby_altitude": 200.0,
    PAYLOAD: 100.0,
}
SHARE = 0.02  # of a stage's load, and of all else at least; rounded to 1, 2 or 5 of some digit


@dataclass(frozen=True)
class LeverStop:
    """One value of a lever, as people read it, and what it changes by dotted key."""

    told: str
    changes: Mapping[str, Any]


@dataclass(frozen=True)
class Lever:
    """A value that a reader can set; the plan stands at the stop `home`."""

    title: str
    stops: tuple[LeverStop, ...]
    home: int
    note: str = ""

    def levels(self, per_side: int) -> list[int]:
        """Return the stops, home left out, that are flown with those of other levers."""
        last = len(self.stops) - 1
        below = {self.home - x for x in _spread(self.home, per_side)}
        above = {self.home + x for x in _spread(last - self.home, per_side)}
        return sorted(below | above)


def _spread(room: int, count: int) -> Iterator[int]:
    """Yield how far from home some of the stops of one side lie, the outermost left out."""
    for each in range(1, min(room, count) + 1):
        yield min(room, ceil(room * each / (count + 0.5)))


def of(plan: Plan, per_side: int) -> tuple[Lever, ...]:
    """Return the levers that a plan's profile has, with so many stops on each side of the plan."""
    known = {knob.key: knob for knob in knobs.of(plan.scenario)}
    if not any(event.do == "land" for event in plan.scenario.events):
        known.pop(PAYLOAD, None)  # nothing is brought down, whatever the file says
    found = [_of_knob(plan, known[key], per_side) for key in STEPS if key in known]
    return tuple(x for x in [*found, *_of_load(plan, per_side)] if len(x.stops) > 1)


def _of_knob(plan: Plan, knob: Knob, per_side: int) -> Lever:
    scenario = plan.scenario
    now = knob.read(scenario)
    assert now is not None  # `knobs.of` leaves those out
    high = knob.high if now <= knob.high else 2.0 * now
    step = max(STEPS[knob.key], _rounded(SHARE * now)) if now else STEPS[knob.key]
    values = _around(now, step, per_side, knob.low, high)
    stops = (LeverStop(_told(plan, knob, x), knob.changes(x, scenario)) for x in values)
    title = "launch day" if knob.key == knobs.LAUNCH_DAY else knob.label
    return Lever(title, tuple(stops), values.index(now))


def _told(plan: Plan, knob: Knob, value: float) -> str:
    """Return a value with its unit; of the launch day, the date and how much later it is."""
    if knob.key != knobs.LAUNCH_DAY:
        return knob.told(value)
    day = plan.scenario.dates.launch_day + timedelta(days=round(value))
    return f"{day:%Y-%m-%d}" + (f" ({value:+.0f} d)" if value else "")


def _around(now: float, step: float, per_side: int, low: float, high: float) -> list[float]:
    """Return values a step apart around `now`, which is among them; more above where none below."""
    below = min(per_side, max(0, floor((now - low) / step + 1e-9)))
    above = min(2 * per_side - below, max(0, floor((high - now) / step + 1e-9)))
    return [round(now + i * step, 9) if i else now for i in range(-below, above + 1)]


def _of_load(plan: Plan, per_side: int) -> Sequence[Lever]:
    """Return the lever of the load of the stage on which the least margin is left."""
    tight, scenario = _tightest(plan), plan.scenario
    if tight is None:
        return []
    name = tight.element
    load = _load(scenario, name)
    size, unit = (1e3, "t") if load >= 1e3 else (1.0, "kg")
    now, step = round(load / size, 9), _rounded(SHARE * load / size)
    values = _around(now, step, per_side, step, 2.0 * now)
    span = f"elements.{name}.load={values[0]:.12g} {unit}..{values[-1]:.12g} {unit}"
    (key,) = freed.read(scenario, [span])
    stops = (LeverStop(f"{x:.6g} {unit}", _reloaded(plan, key, x)) for x in values)
    said = f"the stage with the least margin, after {tight.name}; tanks weigh and measure with it"
    return [Lever(f"load of {plain(name)}", tuple(stops), values.index(now), said)]


def _tightest(plan: Plan) -> BurnRecord | None:
    """Return the burn with the least margin of a stage that the mission itself loads, if any."""
    own = [name for name in built(plan.scenario) if _load(plan.scenario, name)]
    last = [x for x in ends(plan.flight).values() if x.element in own]
    return min(last, key=lambda burn: burn.margin, default=None)


def _load(scenario: Scenario, name: str) -> float:
    """Return what the main engines of an element burn [kg]."""
    return sum(layout.main_loads(scenario.elements[name]).values())


def _reloaded(plan: Plan, key: freed.Freed, value: float) -> dict[str, Any]:
    """Return what another load changes of its element: tanks, what they weigh, the length."""
    laid = laying.laid(plan.scenario, {key: value})
    own = ("elements", key.element)
    return {dotted(x.path): x.after for x in laid.changes if x.path[:2] == own}


def _rounded(step: float) -> float:
    """Return 1, 2 or 5 of the digit that a step begins with."""
    digit = 10.0 ** floor(log10(step))
    return digit * next(x for x in (5.0, 2.0, 1.0) if x * digit <= step * (1.0 + 1e-9))
