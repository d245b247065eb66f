"""What is varied: a kilogram, a second of specific impulse, thrust, length, a stay, a coast.

Each has the step that is flown, large enough for its effect to rise above what solvers leave
(`differences.NOISE`), small enough for the effect to grow in proportion.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import NamedTuple

from mplan.physics.constants import DAY, HOUR
from mplan.scenario import Engine, Scenario
from mplan.scenario.events import CoastEvent, StayEvent
from mplan.scenario.stated import stated
from mplan.scenario.wording import plain
from mplan.vehicle import geometry, layout, resize

LEAST_MASS, MASS_SHARE = 10.0, 0.005  # kg, and of the dry mass: the step is the greater
ISP_STEP, THRUST_STEP, LENGTH_STEP = 1.0, 1.0, 0.05  # s, %, m
# Twice these is the unit itself: what passes and revolutions do within it shows as spread.
STAY_STEP, TIME_STEP = 0.5, 0.5  # d, h
TIMES = ("translunar_time", "transearth_time")  # of [dates], on the way


class Variation(NamedTuple):
    """One thing that is varied: a `kind` of change to `of`, by a `step` of so many `unit`.

    `path` says where it stands: element and engine; ship and index of an event; a key.
    """

    kind: str
    of: str
    unit: str
    step: float
    path: tuple[str, ...]

    @property
    def title(self) -> str:
        """What is varied, with its unit: `dry mass, ascent stage [kg]`."""
        return f"{self.kind}, {self.of} [{self.unit}]"


def of(scenario: Scenario) -> list[Variation]:
    """Return what a scenario has that can be varied, the elements of all its ships from the pad up.

    Elements of a ship that an earlier mission left are as that mission built them.
    """
    names = built(scenario)
    found = [
        *(_dry_mass(scenario, name) for name in names),
        *(each for name in names for each in _engines(scenario, name)),
        *(_length(name) for name in _lengthened(scenario)),
        *_stays(scenario),
        *_times(scenario),
        *_coasts(scenario),
    ]
    return [_told_apart(each, found[:index]) for index, each in enumerate(found)]


def _told_apart(each: Variation, before: list[Variation]) -> Variation:
    """Return a variation that is called as none before it: two coasts may have one name."""
    same = sum(x.title == each.title for x in before)
    return each._replace(of=f"{each.of} ({same + 1})") if same else each


def varied(scenario: Scenario, variation: Variation, amount: float) -> Scenario:
    """Return the scenario with `amount` (in the variation's unit) more; negative is less.

    ScenarioError where that is beyond what a scenario may state.
    """
    return _LAID[variation.kind](scenario, variation.path, amount)


def built(scenario: Scenario) -> list[str]:
    """Return the elements of all ships, but of those that an earlier mission left."""
    left = {name for ship in scenario.left for name in scenario.ships[ship].stack}
    return [name for name in scenario.order if name not in left]


def _dry_mass(scenario: Scenario, name: str) -> Variation:
    step = max(LEAST_MASS, MASS_SHARE * scenario.elements[name].dry_mass)
    return Variation("dry mass", plain(name), "kg", step, (name,))


def _engines(scenario: Scenario, name: str) -> Iterator[Variation]:
    """Yield specific impulse and thrust of each kind of engine that flies burns."""
    engines = scenario.elements[name].engines
    flying = [key for key, engine in engines.items() if engine.purpose != "settling"]
    for key in flying:
        said = plain(name) if len(flying) == 1 else f"{plain(name)}, {plain(key)}"
        yield Variation("specific impulse", said, "s", ISP_STEP, (name, key))
        yield Variation("thrust", said, "%", THRUST_STEP, (name, key))


def _length(name: str) -> Variation:
    return Variation("length", plain(name), "m", LENGTH_STEP, (name,))


def _lengthened(scenario: Scenario) -> Iterator[str]:
    """Yield the elements that the stack of a ship stands on and that hold propellant."""
    names = built(scenario)
    for each in (*scenario.views.values(), scenario):
        for standing in geometry.standing(each):
            main = layout.main_loads(standing.element)
            if standing.carries and main and standing.name in names:
                yield standing.name


def _stays(scenario: Scenario) -> Iterator[Variation]:
    for index, event in enumerate(scenario.events):
        if event.do == "stay" and event.duration is not None:
            yield Variation("duration", plain(event.title), "d", STAY_STEP, ("", str(index)))
    for key in ("surface_stay", "lunar_orbit_stay"):
        if getattr(scenario.mission, key) is not None:
            yield Variation("duration", plain(key), "d", STAY_STEP, (f"mission.{key}",))


def _times(scenario: Scenario) -> Iterator[Variation]:
    for key in TIMES:
        if getattr(scenario.dates, key) is not None:
            yield Variation("duration", plain(key), "h", TIME_STEP, (f"dates.{key}",))


def _coasts(scenario: Scenario) -> Iterator[Variation]:
    """Yield the coasts of every ship that last as long as is stated."""
    for ship, each in (*scenario.views.items(), ("", scenario)):
        for index, event in enumerate(each.events):
            if event.do == "coast" and event.duration is not None:
                said = f"{plain(ship)}: {event.title}" if ship else event.title
                yield Variation("duration", said, "h", TIME_STEP, (ship, str(index)))


def _heavier(scenario: Scenario, path: tuple[str, ...], kilograms: float) -> Scenario:
    (name,) = path
    dry = scenario.elements[name].dry_mass + kilograms
    return scenario.change(f"elements.{name}.dry_mass", f"{dry} kg")


def _with_isp(scenario: Scenario, path: tuple[str, ...], seconds: float) -> Scenario:
    """Vary specific impulse in vacuum; at sea level, and in pulses, in proportion."""
    share = 1.0 + seconds / _engine(scenario, path).isp_vacuum
    return _scaled(scenario, path, share, ("isp_vacuum", "isp_sea_level", "pulse_isp"), "s")


def _with_thrust(scenario: Scenario, path: tuple[str, ...], percent: float) -> Scenario:
    """Vary thrust in vacuum and at sea level alike."""
    share = 1.0 + percent / 100.0
    return _scaled(scenario, path, share, ("thrust_vacuum", "thrust_sea_level"), "N")


def _scaled(
    scenario: Scenario, path: tuple[str, ...], share: float, keys: tuple[str, ...], unit: str
) -> Scenario:
    engine, (name, key) = _engine(scenario, path), path
    stated = {each: getattr(engine, each) for each in keys}
    return scenario.change(
        {
            f"elements.{name}.engines.{key}.{each}": f"{value * share} {unit}"
            for each, value in stated.items()
            if value is not None
        }
    )


def _engine(scenario: Scenario, path: tuple[str, ...]) -> Engine:
    name, key = path
    return scenario.elements[name].engines[key]


def _longer(scenario: Scenario, path: tuple[str, ...], metres: float) -> Scenario:
    return resize.shortened(scenario, path[0], -metres)


def _lasting(scenario: Scenario, path: tuple[str, ...], amount: float) -> Scenario:
    """Vary a stay, a time of flight, or how long an event lasts.

    The list of events is written out where the profile gives it.
    """
    if len(path) == 1:
        return _timed(scenario, path[0], amount)
    ship, index = path
    own = scenario.views[ship] if ship else scenario
    events, event = own.events_as_written(), own.events[int(index)]
    assert isinstance(event, (StayEvent, CoastEvent))
    unit = DAY if event.do == "stay" else HOUR
    now = stated(event.duration, "duration")
    events[int(index)]["duration"] = f"{now + amount * unit} s"
    after = own.change("events", events)
    return after.main or after


def _timed(scenario: Scenario, where: str, amount: float) -> Scenario:
    table, key = where.split(".")
    now = getattr(getattr(scenario, table), key)
    unit = DAY if table == "mission" else HOUR
    return scenario.change(where, f"{now + amount * unit} s")


_LAID: Mapping[str, Callable[[Scenario, tuple[str, ...], float], Scenario]] = {
    "dry mass": _heavier,
    "specific impulse": _with_isp,
    "thrust": _with_thrust,
    "length": _longer,
    "duration": _lasting,
}
