"""The columns of what people live on, and how long it lasts in one sentence."""

from __future__ import annotations

from mplan.checks import living
from mplan.flight.record import Flight
from mplan.physics.constants import DAY, HOUR
from mplan.scenario.wording import plain
from mplan.show.columns import Column, clock

NOBODY = "Nobody is aboard."
NO_AIR = (
    "Not examined: no cabin states supplies.cabin and supplies.air_flow, which the partial "
    "pressure of carbon dioxide takes."
)

ACTIVITIES = (
    Column("event", lambda x: x.event),
    Column("cabin", lambda x: plain(x.element)),
    Column("people", lambda x: x.crew, 0),
    Column("from", lambda x: clock(x.begin)),
    Column("lasts [h]", lambda x: (x.end - x.begin) / HOUR, 1),
    Column("oxygen [kg]", lambda x: x.used["oxygen"], 2),
    Column("water [kg]", lambda x: x.used["potable_water"] + x.used["hygiene_water"], 2),
    Column("food [kg]", lambda x: x.used["packed_food"], 2),
    Column("CO2 removed [kg]", lambda x: x.co2, 2),
    Column("waste made [kg]", lambda x: x.waste, 2),
)

OUTLOOK = (
    Column("cabin", lambda x: plain(x.element)),
    Column("people", lambda x: x.crew, 0),
    Column("plan ends for it", lambda x: clock(x.left_at)),
    Column("runs out first", lambda x: x.use.label),
    Column("days beyond the plan [d]", lambda x: x.days, 1),
    Column("gone", lambda x: clock(x.until)),
    Column("rates from", lambda x: x.use.basis),
)


def sentence(flight: Flight) -> str:
    """Return what runs out first beyond the plan in one line; "" where nobody is aboard."""
    first = living.first_out(flight)
    if first is None:
        return ""
    said = f"{first.use.label} in the {plain(first.element)}"
    if first.days < 0.0:
        return (
            f"supplies: {said} runs out {clock(first.until)} after lift-off, before the plan ends"
        )
    kept = living.contingency(flight) / DAY
    stated = flight.scenario.contingency is not None
    wanted = f"{kept:g} d to be kept" if stated else f"{kept:g} d usual, none stated"
    return f"supplies: {said} runs out first, {first.days:.1f} d beyond the plan ({wanted})"
