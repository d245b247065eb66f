"""Which active guidance element of a craft controls it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from mplan.scenario import Element

# Who controls where no burn decides: the launcher's while it is there, then the ship's.
ORDER = (
    "launch stage",
    "transfer stage",
    "service module",
    "crew module",
    "descent stage",
    "ascent stage",
)


def of(
    craft: Iterable[str],
    elements: Mapping[str, Element],
    burning: str | None = None,
    named: str | None = None,
) -> str | None:
    """Return the active guidance element in control: the one `named`, that burns, or by `ORDER`.

    None where no joined element carries guidance and control equipment.
    """
    active = [name for name in craft if elements[name].active_guidance]
    for first in (named, burning):
        if first in active:
            return first
    known = [name for name in active if elements[name].role in ORDER]
    ranked = sorted(known, key=lambda name: ORDER.index(elements[name].role))
    return ranked[0] if ranked else next(iter(active), None)
