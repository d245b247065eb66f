"""What stands on the Moon when the crew come down beside it: landed by other ships before."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from mplan.checks.finding import Finding
from mplan.flight.record import Flight
from mplan.physics.bodies import selenography, sight
from mplan.physics.constants import DAY, R_MOON
from mplan.scenario import Scenario
from mplan.scenario.figures import Figures, FoundNumber, amount
from mplan.scenario.wording import plain

NEAR = 100e3  # m: beyond, nobody drives there (common practice, no source)
BASIS = "planned landing points; what the engine throws up, and how far each misses, is not in it"


class Landed(NamedTuple):
    """A craft that another ship has landed: which `element` stands there, and what it carries.

    `elapsed` [s] since the lift-off of the ship that is asked about, negative before; `payload`
    [kg] on the ground with it; `waited` [s] until that ship lands, and `distance` [m] along the
    ground between the planned landing points, both None where it does not land. How far each misses
    its own point is not in it. `night` [s]: for how much of the wait the Sun was down over a level
    horizon, when panels give nothing; what it draws on the ground is not counted.
    """

    ship: str
    element: str
    elapsed: float
    payload: float
    waited: float | None
    distance: float | None
    night: float = 0.0


def landed(flight: Flight) -> Iterator[Landed]:
    """Yield what each of the other ships has landed, in the order of the file.

    Nothing where the ship that is asked about has no date.
    """
    if not flight.dated:
        return
    down = _touchdown(flight)
    for name, ship in flight.others.items():
        there = _touchdown(ship)
        element = ship.end.landed
        if there is None or not element:
            continue
        yield Landed(
            name,
            element,
            there - flight.end.lift_off,
            sum(ship.end.cargo.get(x, 0.0) for x in ship.end.joined(element)),
            None if down is None else down - there,
            None if down is None else _between(flight.scenario, ship.scenario),
            _night(ship.scenario, there, there if down is None else down),
        )


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield what other ships have landed near the crew's landing point, and how far it is."""
    yield from (
        _finding(each, each.distance, each.waited)
        for each in landed(flight)
        if each.distance is not None and each.waited is not None and each.distance < NEAR
    )


def _finding(each: Landed, distance: float, waited: float) -> Finding:
    what = plain(each.element)
    if waited < 0.0:
        text = f"{what} lands {distance / 1e3:.1f} km from the crew after they have come down"
    else:
        text = (
            f"the crew land {distance / 1e3:.1f} km from {what}, "
            f"which has stood there for {waited / DAY:.1f} d, {nights(each)}"
        )
    text += "; the engine that comes second throws dust and stones at what stands there"
    payload = f"{amount(each.payload)} kg of payload on the ground"
    figures = Figures("none stated", payload, amounts=(FoundNumber(each.payload, 1),))
    return Finding(
        "for information", "hardware on the ground", "landing", text, figures, BASIS, (each.ship,)
    )


def nights(each: Landed) -> str:
    """Return in words how long it was night where something waits, and what is not counted."""
    dark = f"{each.night / DAY:.1f} d" if each.night else "none"
    return f"{dark} of it lunar night; the energy it takes there is not counted"


def _night(scenario: Scenario, begin: float, end: float) -> float:
    """Return how long [s] it is night at a landing site from one time to another [TDB s]."""
    if end <= begin:
        return 0.0
    return sight.time_in_night(scenario.site.latitude, scenario.site.longitude, begin, end)


def _touchdown(flight: Flight) -> float | None:
    """Return when a ship touches down on the Moon [TDB s], None where it does not."""
    found = (x.elapsed for x in flight.moments if x.kind == "land")
    elapsed = next(found, None)
    return None if elapsed is None else flight.end.lift_off + elapsed


def _between(one: Scenario, other: Scenario) -> float:
    """Return the distance [m] between two landing sites on the Moon's mean sphere."""
    first, second = (
        selenography.site_position(x.site.latitude, x.site.longitude, 0.0, 0.0)
        for x in (one, other)
    )
    across = float(np.linalg.norm(np.cross(first, second)))
    return R_MOON * float(np.arctan2(across, first @ second))
