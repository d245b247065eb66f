"""The tables of the whole mission, as a workbook shows them."""

from __future__ import annotations

from mplan.plan import Plan
from mplan.show import tables
from mplan.show.contact.rows import NO_LINKS, NO_STATIONS
from mplan.show.mission.comparison import beside
from mplan.show.notebook import Table
from mplan.show.reached import asks_climb, asks_splash


@asks_climb
def assumptions(plan: Plan) -> Table:
    """Return where each estimated figure comes from."""
    return Table(tables.assumptions(plan), "none: every burn is flown")


@asks_climb
def budget(plan: Plan) -> Table:
    """Return the burns in flight order: required, available, margin, and what they cost."""
    return Table(tables.budget(plan))


@asks_climb
def events(plan: Plan) -> Table:
    """Return the events in flight order."""
    return Table(tables.timeline(plan))


@asks_splash
def supplies(plan: Plan) -> Table:
    """Return what crew supplies and room for waste come to."""
    return Table(tables.supplies(plan))


@asks_climb
def thrusters(plan: Plan) -> Table:
    """Return what thrusters drew by phase and item, and what is left."""
    return Table(tables.thrusters(plan), "not counted: the scenario has no [thruster_budget]")


@asks_splash
def stores(plan: Plan) -> Table:
    """Return the balance of what people live on: carried, kept as waste, gone overboard."""
    return Table(tables.stores(plan))


@asks_splash
def power(plan: Plan) -> Table:
    """Return what became of the electric energy of every element that was in use."""
    return Table(tables.power(plan))


def elements(plan: Plan) -> Table:
    """Return the elements from the pad up, with the file that describes each."""
    return Table(tables.stack(plan))


@asks_splash
def published(plan: Plan) -> Table:
    """Return numbers of ours beside published ones, each with its source."""
    return Table(beside(plan))


@asks_climb
def starts(plan: Plan) -> Table:
    """Return every start against its number, with burn times and pauses."""
    return Table(tables.counted(plan)["starts"])


@asks_climb
def thruster_tanks(plan: Plan) -> Table:
    """Return where the propellant of thrusters went: loaded, drawn by kind, left."""
    return Table(tables.counted(plan)["thruster_tanks"], "none: no element has thrusters")


@asks_climb
def dockings(plan: Plan) -> Table:
    """Return each docking, with the number that it is of either port."""
    return Table(tables.counted(plan)["dockings"], "none: nothing docks")


@asks_climb
def crew_transfers(plan: Plan) -> Table:
    """Return who goes where, in order of time."""
    return Table(tables.counted(plan)["crew_transfers"], "none: nobody changes craft")


@asks_climb
def jettisons(plan: Plan) -> Table:
    """Return what is jettisoned, in order of time, with its mass then."""
    return Table(tables.counted(plan)["jettisons"], "none: nothing is jettisoned")


@asks_climb
def seen(plan: Plan) -> Table:
    """Return each burn and event with the stations that see it, or why none does."""
    return Table(tables.contact(plan)["seen"], NO_STATIONS)


@asks_climb
def silences(plan: Plan) -> Table:
    """Return when no station sees a craft, and why."""
    return Table(tables.contact(plan)["silences"], NO_STATIONS)


@asks_climb
def radio_links(plan: Plan) -> Table:
    """Return each radio link with its least margin, when that is, and the rate that closes."""
    return Table(tables.contact(plan)["radio_links"], NO_LINKS)
