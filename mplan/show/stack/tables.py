"""The stack in tables: what the pad allows, where every metre goes, what a metre less costs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from mplan.physics.propellants import PROPELLANTS
from mplan.plan import Plan
from mplan.scenario import Element, Scenario, ScenarioError
from mplan.scenario.figures import decimals
from mplan.scenario.stated import stated
from mplan.scenario.wording import plain
from mplan.show import engine_trades
from mplan.show.columns import Column
from mplan.show.notebook import Table, Words, sentence
from mplan.show.reached import asks_splash
from mplan.show.tables import framed
from mplan.studies.shorten import BurnChange, Shortened
from mplan.vehicle import geometry
from mplan.vehicle.ledger import Key
from mplan.vehicle.pad import SiteLimit, limits
from mplan.vehicle.stack import on_pad


class Metre(NamedTuple):
    """A stretch of the stack: whose, what, from and to [m] above its foot; `share` of all."""

    element: str
    piece: str
    bottom: float
    top: float
    share: float | None  # None inside or beside another element, where it adds no height


def metres(scenario: Scenario) -> list[Metre]:
    """Return every stretch from the pad up, what is inside or beside another element last."""
    height, stack = on_pad(scenario).height, geometry.standing(scenario)
    found = [row for each in stack if each.carries for row in _rows(each, height)]
    apart = [row for each in stack if not each.carries for row in _rows(each, None)]
    return [*found, *apart]


def _where(element: Element) -> str:
    """Return where an element stands that carries nothing above it."""
    if element.inside is not None:
        return f"inside the {plain(element.inside)}"
    return f"beside the {plain(stated(element.beside, 'inside or beside'))}"


def _rows(each: geometry.Standing, height: float | None) -> Iterator[Metre]:
    element = each.element
    name = element.label or plain(each.name)
    if not each.carries:
        name = f"{name}, {_where(element)}"
    for piece in each.layout.pieces:
        bottom = each.bottom + piece.bottom
        share = piece.length / height if height else None
        yield Metre(name, piece.name, bottom, bottom + piece.length, share)


def lengths(plan: Plan) -> Table:
    """Return where every metre of the stack goes, from the pad up."""
    return Table(framed(_METRES, metres(plan.scenario)))


def tanks(plan: Plan) -> Table:
    """Return the main tanks from the pad up: what they hold, and the shape that holds it."""
    stack = geometry.standing(plan.scenario)
    return Table(
        framed(_TANKS, [(each, tank) for each in stack for tank in each.layout.tanks]),
        "No element states a build.",
    )


def residuals(plan: Plan) -> Table:
    """Return what cannot be used in each tank, in kilograms and as a share of what is loaded."""
    return Table(
        framed(_RESIDUALS, [(plan, key) for key in plan.flight.start.ledger.levels]),
        "No element has a tank.",
    )


def pad(plan: Plan) -> Table:
    """Return each limit of the launch site beside the stack; a blank where none is stated."""
    found = limits(plan.scenario)
    both = [(x.limit * x.scale, x.found * x.scale) for x in found if x.limit and x.found]
    digits = max((decimals(*each) for each in both), default=1)
    return Table(framed([each._replace(digits=each.digits and digits) for each in _PAD], found))


@asks_splash
def shortened(found: Sequence[Shortened], plan: Plan | None = None) -> Table:
    """Return what each stage of a `plan`, shortened, does to the whole mission."""
    return Table(framed(_SHORTENED, found))


@asks_splash
def shortened_burns(found: Sequence[Shortened], plan: Plan | None = None) -> Table:
    """Return what each stage of a `plan`, shortened, has less at each burn that it flies."""
    return Table(
        framed(_BURNS, [(each, burn) for each in found for burn in each.burns]),
        "No stage could be shortened by that much.",
    )


def _scaled(each: SiteLimit, value: float | None) -> float | None:
    return None if value is None else value * each.scale


def _left(each: SiteLimit) -> float | None:
    return None if each.found is None or each.limit is None else -each.over * each.scale


def _outcome(each: Shortened) -> str:
    return each.plan.verdict if each.plan else f"not flown: {each.trouble}"


def _burn(row: tuple[Shortened, BurnChange]) -> BurnChange:
    return row[1]


_METRES = (
    Column("element", lambda row: row.element),
    Column("piece", lambda row: row.piece),
    Column("from [m]", lambda row: row.bottom, 2),
    Column("to [m]", lambda row: row.top, 2),
    Column("length [m]", lambda row: row.top - row.bottom, 2),
    Column("share of the height [%]", lambda row: row.share and 100.0 * row.share, 1),
)

_TANKS = (
    Column("element", lambda row: row[0].element.label or plain(row[0].name)),
    Column("propellant", lambda row: row[1].propellant),
    Column("load [t]", lambda row: row[1].load / 1e3, 2),
    Column("density [kg/m3]", lambda row: PROPELLANTS[row[1].propellant].density, 0),
    Column("tanks", lambda row: row[1].count * row[0].element.bodies),
    Column("volume of each [m3]", lambda row: row[1].vessel.volume, 2),
    Column("across [m]", lambda row: row[1].vessel.diameter, 2),
    Column("depth of a dome [m]", lambda row: row[1].vessel.dome, 2),
    Column("cylinder [m]", lambda row: row[1].vessel.cylinder, 2),
)


def _loaded(row: tuple[Plan, Key]) -> float:
    return row[0].flight.start.ledger.levels[row[1]]


def _residual(row: tuple[Plan, Key]) -> float:
    return row[0].flight.start.ledger.unusable[row[1]]


def _left_usable(row: tuple[Plan, Key]) -> float:
    end = row[0].flight.end.ledger
    return max(0.0, end.levels[row[1]] - end.unusable[row[1]])


_RESIDUALS = (
    Column("element", lambda row: row[0].scenario.elements[row[1][0]].label or plain(row[1][0])),
    Column("tank", lambda row: plain(row[1][1])),
    Column("load [kg]", _loaded, 0),
    Column("residuals [kg]", _residual, 1),
    Column("residuals [% of the load]", lambda row: 100.0 * _residual(row) / _loaded(row), 2),
    Column("left beside them at the end [kg]", _left_usable, 1),
)

_PAD = (
    Column("limit", lambda each: f"{each.name} [{each.unit}]"),
    Column("stack", lambda each: _scaled(each, each.found), 1),
    Column("allowed", lambda each: _scaled(each, each.limit), 1),
    Column("left", _left, 1),
)

_SHORTENED = (
    Column("stage", lambda each: plain(each.element)),
    Column("shorter by [m]", lambda each: each.metres, 2),
    Column("propellant lost [t]", lambda each: each.propellant / 1e3, 2),
    Column("height [m]", lambda each: each.height, 2),
    Column("outcome, flown", _outcome),
)

_BURNS = (
    Column("stage", lambda row: plain(row[0].element)),
    Column("burn", lambda row: _burn(row).burn),
    Column("in its tanks [m/s]", lambda row: _burn(row).before, 0),
    Column("then in its tanks [m/s]", lambda row: _burn(row).after, 0),
    Column("lost [m/s]", lambda row: _burn(row).lost, 0),
    Column("margin [m/s]", lambda row: _burn(row).margin_before, 0),
    Column("then margin [m/s]", lambda row: _burn(row).margin_after, 0),
)


@asks_splash
def engines(plan: Plan, element: str = "") -> Words:
    """Return what each engine that fits an element's tanks does to the whole mission, flown.

    Without a name, of the element that leaves for the Moon. A sentence where there is nothing to
    trade, as without a catalogue of engines beside the scenario.
    """
    try:
        return Table(engine_trades.table(plan, element or _departs(plan)))
    except ScenarioError as problem:
        return sentence(f"Not shown: {problem.problems[0].text}.")


def _departs(plan: Plan) -> str:
    """Return the element of the translunar injection, or of the last burn where there is none."""
    return (plan.flight.burn_of("translunar injection") or plan.burns[-1]).element
