"""What the transfers to the Moon and home cost, over dates and times of flight.

Each cell is an integrated arc of its own; where none is found the cell is not a number.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from mplan.flight import lunar_orbit, translunar
from mplan.flight.state import existing
from mplan.physics import constants as c
from mplan.physics.arcs import homeward
from mplan.physics.arcs.lunar_orbit import coast
from mplan.physics.twobody import circular_speed
from mplan.physics.vectors import freeze
from mplan.plan import Plan
from mplan.studies.launches import launch_days

Done = Callable[[int, int], None]
Stopped = Callable[[], bool]


@dataclass(frozen=True)
class Map:
    """Delta-v [m/s], shape (flights, starts), over starts and times of flight [s].

    Starts are days for the way there, times [s] from the plan's own return burn for the way
    home. A map that was stopped has nan in the cells not reached.
    """

    starts: tuple[date, ...] | tuple[float, ...]
    flights: tuple[float, ...]
    delta_v: np.ndarray

    def __post_init__(self) -> None:
        """Make the arrays read-only: the record is handed out again."""
        freeze(self)

    def cheapest(self) -> tuple[int, int]:
        """Return the indices (flight, start) of the cheapest cell."""
        flight, start = np.unravel_index(np.nanargmin(self.delta_v), self.delta_v.shape)
        return int(flight), int(start)

    def quickest(self, affordable: float) -> tuple[int, int] | None:
        """Return the indices (flight, start) of the shortest flight within a budget [m/s]."""
        for flight in np.argsort(self.flights):
            row = self.delta_v[flight]
            if np.any(row <= affordable):  # nan is not
                return int(flight), int(np.nanargmin(np.where(row <= affordable, row, np.nan)))
        return None


def there(
    plan: Plan,
    days: int,
    flights: Sequence[float],
    *,
    done: Done = lambda done, total: None,
    stopped: Stopped = lambda: False,
) -> Map:
    """Return injection and capture into the circular lunar orbit together, over days and flights.

    Days count from the plan's own; azimuth and side are the plan's, climb and aim as it flew. They
    are those of a ship that waits in Earth orbit, where the plan is launched to meet one: its
    launch is moved with the plan's, and it leaves after as many revolutions.
    """
    first = plan.scenario.dates.launch_day
    dated = launch_days.flight_of(plan, launch_days.leader(plan.scenario)).end
    starts = tuple(first + timedelta(days=i) for i in range(days))

    def cell(flight: int, start: int) -> float:
        offset = start * c.DAY
        out = translunar.on_another_day(dated, offset, flights[flight])
        arrival = float(np.linalg.norm(out.perilune.lunar_v))
        capture = arrival - circular_speed(lunar_orbit.radius(plan.scenario), c.MU_MOON)
        return out.delta_v + capture

    return Map(starts, tuple(flights), _filled(cell, len(flights), days, done, stopped))


def home(
    plan: Plan,
    waits: Sequence[float],
    flights: Sequence[float],
    *,
    done: Done = lambda done, total: None,
    stopped: Stopped = lambda: False,
) -> Map:
    """Return the return burn over `waits` [s] after (or before) the plan's own and flights [s].

    Each start is the best place of the revolution that follows.
    """
    leaving = existing(plan.flight.end.homeward, "a way home").leaving
    angle = plan.scenario.orbits.entry_angle

    def cell(flight: int, start: int) -> float:
        orbit = coast(leaving, waits[start])
        wait, burn = homeward.guess_return(orbit, flights[flight], angle)
        place = coast(orbit, wait)
        return homeward.correct_return(place, burn, flights[flight], angle, homeward.ROUGH).delta_v

    cells = _filled(cell, len(flights), len(waits), done, stopped)
    return Map(tuple(waits), tuple(flights), cells)


def _filled(
    cell: Callable[[int, int], float], rows: int, columns: int, done: Done, stopped: Stopped
) -> np.ndarray:
    values = np.full((rows, columns), np.nan)
    for count, (row, column) in enumerate(np.ndindex(rows, columns), start=1):
        with suppress(ArithmeticError):  # no arc: the cell stays empty
            values[row, column] = cell(row, column)
        done(count, rows * columns)
        if stopped():
            break
    return values
