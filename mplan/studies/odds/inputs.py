"""What is drawn for each mission: things of [dispersions], air and wind, errors of burns.

Each is one number that is drawn for itself, independent of all others: a departure from the plan,
a share of the planned value or SI, or a standard normal number that an error is made of.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from mplan.flight.record import Flight
from mplan.plan import Plan
from mplan.scenario import Scenario
from mplan.scenario.dispersions import scattered
from mplan.scenario.dispersions.spread import CUT, Spread
from mplan.scenario.dispersions.tables import DispersionTable
from mplan.scenario.stated import stated
from mplan.studies.odds import corrections

STANDARD = Spread(-CUT, CUT, 1.0, False)  # a normal number that errors are made of
# Burns that end where the engine is told to, and err: others are steered to their target.
OPEN_LOOP = (
    "translunar injection",
    "hybrid transfer",
    "lunar-orbit insertion",
    "lunar-orbit plane change",
    "lunar-orbit apolune change",
    "lunar-orbit circularisation",
    "descent-orbit insertion",
    "trans-Earth injection",
)
UNITS = {
    "dry mass": "kg",
    "load": "kg",
    "residuals": "kg",
    "thrust": "N",
    "specific impulse": "s",
    "hover time": "s",
    "docking time": "s",
    "duration": "s",
    "east": "m/s",
    "north": "m/s",
    "about_one": "rad",
    "about_other": "rad",
}
AXES = (("about_one", "in the plane"), ("about_other", "out of the plane"))


class DrawnNumber(NamedTuple):
    """One number that is drawn: what it is in words, how it scatters, and where it goes.

    `kind` says what it is: of an "element", of the "course" of a ship, of the "climb", of a "burn"
    or of a "correction"; `ship` whose it is, "" for the main one; `path` where it stands there.
    """

    title: str
    spread: Spread
    kind: str
    ship: str
    path: tuple[str | int, ...]

    @property
    def unit(self) -> str:
        """The unit that the number is kept in."""
        if self.kind == "correction":
            return "standard deviations"
        if self.spread.relative:
            return "share of the planned"
        return UNITS.get(str(self.path[-1]), "share")


def of(plan: Plan) -> tuple[DrawnNumber, ...]:
    """Return what is drawn for each mission of a plan, in an order that is always the same.

    NotStated where the scenario has no [dispersions].
    """
    scenario, table = plan.scenario, stated(plan.scenario.dispersions, "[dispersions]")
    found = [_of_element(x) for x in scattered.of_elements(scenario)]
    for ship, flight in (*plan.flight.others.items(), ("", plan.flight)):
        found += _of_ship(flight.scenario, table, ship)
        found += _of_burns(flight, table, ship)
        found += _of_corrections(flight, ship)
    return tuple(found)


def _of_element(each: scattered.Scattered) -> DrawnNumber:
    return DrawnNumber(each.title, each.spread, "element", "", (*each.path, each.quantity))


def _of_ship(view: Scenario, table: DispersionTable, ship: str) -> Iterator[DrawnNumber]:
    of = f" of {ship.replace('_', ' ')}" if ship else ""
    if table.air_density is not None and not table.air_density.none:
        yield DrawnNumber(
            f"air density in the climb{of}", table.air_density, "climb", ship, ("air",)
        )
    if table.wind is not None and not table.wind.none:
        for towards in ("east", "north"):
            title = f"wind to the {towards} in the climb{of}"
            yield DrawnNumber(title, table.wind, "climb", ship, (towards,))
    for each in scattered.of_course(view, table, ship):
        yield DrawnNumber(each.title, each.spread, "course", ship, (*each.path, each.quantity))


def _of_burns(flight: Flight, table: DispersionTable, ship: str) -> Iterator[DrawnNumber]:
    """Yield size and direction of each burn that ends as it was told and no correction follows."""
    corrected = {chain.burn for chain in corrections.of(flight)}
    for index, passage in enumerate(flight.passages):
        burn = passage.burn
        if burn is None or burn.leg not in OPEN_LOOP or not burn.lit or index in corrected:
            continue
        if table.burn_size is not None and not table.burn_size.none:
            yield DrawnNumber(
                f"size of {burn.name}", table.burn_size, "burn", ship, (index, "size")
            )
        if table.burn_direction is not None and not table.burn_direction.none:
            for key, which in AXES:
                title = f"direction of {burn.name}, {which}"
                yield DrawnNumber(title, table.burn_direction, "burn", ship, (index, key))


def _of_corrections(flight: Flight, ship: str) -> Iterator[DrawnNumber]:
    for number, chain in enumerate(corrections.of(flight)):
        for index, title in enumerate(chain.titles):
            yield DrawnNumber(title, STANDARD, "correction", ship, (number, index))
