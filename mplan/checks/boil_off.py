"""What boils off on the way, and how much of it before the last burn of its stage."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from mplan.checks.finding import Finding
from mplan.flight.record import Flight
from mplan.scenario.figures import Figures, FoundNumber
from mplan.scenario.wording import plain, verb
from mplan.vehicle import boil_off
from mplan.vehicle.boil_off import assumed

STATED = "heat_input or boil_off of its tanks"
ASSUMED = "common practice, no source: its tanks state no heat_input or boil_off"
LEAST = 1.0  # kg, worth a word


class Lost(NamedTuple):
    """What an element has lost [kg]: `by_tank`, in all, and before its last burn.

    `heat` [W] is what leaks into all of its tanks; `assumed` where a figure is not its own.
    """

    element: str
    by_tank: dict[str, float]
    before_last_burn: float
    heat: float
    assumed: bool

    @property
    def total(self) -> float:
        """All of it [kg]."""
        return sum(self.by_tank.values())


def lost(flight: Flight) -> list[Lost]:
    """Return what boiled off, element by element in stack order; only those that lost something."""
    last = {burn.element: burn.boiled for burn in flight.burns}
    found = []
    for name in flight.scenario.order:
        tanks = flight.scenario.elements[name].tanks
        gone = {
            tank: loss for (owner, tank), loss in flight.end.ledger.boiled.items() if owner == name
        }
        if sum(gone.values()) > 0.0:
            heat = sum(boil_off.heat(tanks[tank]) for tank in gone)
            guessed = any(assumed(tanks[tank]) for tank in gone)
            found.append(Lost(name, gone, last.get(name, 0.0), heat, guessed))
    return found


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield what each element loses, if that is worth a word."""
    for each in lost(flight):
        if each.total < LEAST:
            continue
        tanks = " and ".join(f"{kg:.0f} kg of {plain(tank)}" for tank, kg in each.by_tank.items())
        its = verb(each.element, "its", "their")
        text = (
            f"{plain(each.element)} {verb(each.element, 'loses', 'lose')} {tanks} by boiling off, "
            f"{each.before_last_burn:.0f} kg of it before {its} last burn"
        )
        yield Finding(
            severity="for information",
            check="boil-off",
            event=each.element,
            text=text,
            figures=Figures(
                "none stated",
                f"{each.total:.0f} kg at a heat leak of {each.heat / 1e3:.1f} kW",
                amounts=(FoundNumber(each.total, 0), FoundNumber(each.heat / 1e3, 1)),
            ),
            basis=ASSUMED if each.assumed else STATED,
            together="elements lose propellant by boiling off",
            item=f"{plain(each.element)} {each.total:.0f} kg, {each.before_last_burn:.0f} kg of it "
            "before its last burn",
        )
