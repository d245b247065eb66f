"""How much of its days, supplies and electric energy a flight uses."""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks import power, supplies
from mplan.checks.limits.row import LimitRow
from mplan.flight.record import Flight
from mplan.physics.constants import DAY
from mplan.scenario.wording import plain
from mplan.vehicle.living.energy import serving
from mplan.vehicle.living.life_support import WASTES


def rows(flight: Flight) -> Iterator[LimitRow]:
    """Yield days, supplies and storage of everything lived in, and energy of every cabin.

    None for a flight that ends early: they are about a whole mission.
    """
    if flight.ended:
        return
    most = flight.scenario.mission.longest_duration / DAY
    until = "the end at the Moon" if flight.splash is None and not flight.ended else "splashdown"
    yield LimitRow("mission", f"lift-off to {until}", flight.duration / DAY, most, "d", 1)
    for use in supplies.used(flight):
        if use.capacity is not None and use.used > 0.0:
            yield LimitRow(
                "storage for waste" if use.supply in WASTES else "supply",
                f"{use.label} in {plain(use.element)}",
                use.used,
                use.capacity,
                "kg",
                1,
                days_left=use.days_left,
                note=use.note,
            )
    yield from _energy(flight)


def _energy(flight: Flight) -> Iterator[LimitRow]:
    """Yield what each cabin and what serves it drew, and what they had when last in use.

    What a dropped element still stored is no longer theirs.
    """
    uses = {use.element: use for use in power.used(flight)}
    for cabin in dict.fromkeys(each.element for each in flight.stretches):
        if cabin not in uses:
            continue
        lived = [each for each in flight.stretches if each.element == cabin]
        served = [{n for n, _ in serving(cabin, x.craft, flight.scenario)} for x in lived]
        drawn = sum(uses[name].drawn for name in set().union(*served))
        left, use = sum(uses[name].left for name in served[-1]), uses[cabin]
        lasts = (left - use.lacking) / use.drain / DAY if use.drain else None
        name = f"{plain(cabin)}{' and below' if len(set().union(*served)) > 1 else ''}"
        yield LimitRow(
            "energy",
            name,
            (drawn + use.lacking) / power.KWH,
            (drawn + left) / power.KWH,
            "kWh",
            1,
            days_left=lasts,
        )
