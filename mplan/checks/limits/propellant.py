"""Stranded propellant: what stays in one tank when the other runs dry, by the mixture ratio."""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.limits.row import LimitRow
from mplan.flight.record import Flight, Passage
from mplan.scenario.wording import plain
from mplan.vehicle.ledger import Key, main_engine

TRIFLE = 1.0  # kg, worth a word


def rows(flight: Flight) -> Iterator[LimitRow]:
    """Yield what would stay in each tank, were its engine to burn on after its last burn.

    Residuals, which no engine can draw, are apart.
    """
    for (name, key), after in _last_burns(flight).items():
        engine = flight.scenario.elements[name].engines[key]
        owner = engine.crossfeed or name
        for tank, kg in after.after.ledger.stranded(name, engine).items():
            if kg >= TRIFLE:
                load = flight.scenario.elements[owner].tanks[tank].load
                what = f"{plain(tank)} in {plain(owner)}"
                share, note = 100.0 * kg / load, f"{kg:,.0f} kg"
                yield LimitRow("stranded propellant", what, share, None, "% of load", 1, note=note)


def _last_burns(flight: Flight) -> dict[Key, Passage]:
    """Return the last burn of each engine, of what burns out beside another one too."""
    found: dict[Key, Passage] = {}
    for each in flight.passages:
        if each.burn is None:
            continue
        found[each.burn.element, each.burn.engine] = each
        for name in each.burn_event.beside:
            found[name, main_engine(flight.scenario.elements[name])[0]] = each
    return found
