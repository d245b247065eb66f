"""What a span of time takes from an element's supplies, leaves aboard and sends overboard [kg].

Mass goes through people and canisters to the gram: what is taken is what is kept and what leaves.
Outside, a person lives from the suit, which is filled from the element: its absorber keeps the
carbon dioxide, breath and sweat leave, and the heat is carried off by water that sublimes.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from mplan.physics.constants import DAY
from mplan.physics.living import chemistry as c
from mplan.scenario.living.crew_day import MEAN, WALKING, CrewDay
from mplan.scenario.living.supplies import Supplies


class Span(NamedTuple):
    """A span of time in one element: how many live in it, how long [s], how long it leaks [s].

    `heat` is what electric loads give off in it and in what serves it [J]. `walks` are openings of
    the hatch, `outside` the time of all walkers together [s], at `walk_rate` [W]; `fillings`
    of the cabin come out of the stores. `suited` is the time of all people in suits that leak,
    in a cabin without air [s].
    """

    crew: int
    seconds: float
    leaking: float
    heat: float = 0.0
    walks: float = 0.0
    outside: float = 0.0
    walk_rate: float = WALKING
    fillings: float = 0.0
    suited: float = 0.0


class Flows(NamedTuple):
    """Masses [kg] by name: `taken` of supplies, `kept` as waste, gone `overboard`.

    `removed` is the carbon dioxide taken out of the cabin's air.
    """

    taken: Mapping[str, float]
    kept: Mapping[str, float]
    overboard: Mapping[str, float]
    removed: float


def flows(carried: Supplies, day: CrewDay, span: Span) -> Flows:
    """Return what a span takes, keeps and sends overboard."""
    persons = span.crew * span.seconds / DAY  # days of one person
    outside = min(span.outside / DAY, persons * day.waking / DAY)
    active = persons * day.activity + outside * (span.walk_rate - day.awake) / MEAN
    suited = outside * span.walk_rate / MEAN
    taken, surplus = _eaten(carried, persons, active)
    cooling = outside * DAY * span.walk_rate
    if carried.evaporative_cooling:
        cooling += span.heat + (active - suited) * DAY * MEAN
    cooling /= c.LATENT
    gas = _gas(carried, span)
    taken |= {
        "oxygen": c.OXYGEN * active + gas["oxygen"],
        "nitrogen": gas["nitrogen"],
        "hygiene_water": c.HYGIENE * persons,
    }
    taken["potable_water"] += cooling
    removed = c.CO2 * (active - suited)
    kept = {
        "urine_and_condensate": _wastewater(carried, persons, active - suited, removed) + surplus,
        "faeces": c.FAECES * persons,
        "packaging": carried.food_packaging * taken["packed_food"],
        "carbon_dioxide": c.CO2 * suited,
    }
    gone = {**gas, "water": cooling + c.HUMIDITY * suited}
    if carried.co2_removal is not None and not carried.co2_removal.keeps:
        gone["carbon_dioxide"] = removed
    else:
        kept["carbon_dioxide"] += removed * (1.0 - _reaction(carried))
    for waste in carried.dumped:
        gone[waste] = kept.pop(waste)
    return Flows(taken, kept, gone, removed)


def _eaten(carried: Supplies, persons: float, active: float) -> tuple[dict[str, float], float]:
    """Return food and water taken, and the water in food beyond what is needed."""
    dry = c.SOLIDS * persons + c.BURNED * active
    packed = dry / carried.dry_food_share
    given_off = (c.URINE + c.FAECAL_WATER) * persons + c.HUMIDITY * active
    needed = given_off - c.METABOLIC_WATER * active - carried.food_water * packed
    return {"packed_food": packed, "potable_water": max(0.0, needed)}, max(0.0, -needed)


def _gas(carried: Supplies, span: Span) -> dict[str, float]:
    """Return the oxygen and nitrogen that leak and are let out."""
    filling, walk = carried.filling.times(span.fillings), carried.walk_loss.times(span.walks)
    return {
        "oxygen": carried.oxygen_leakage * span.leaking
        + c.SUIT_LEAKAGE * span.suited
        + filling.oxygen
        + walk.oxygen,
        "nitrogen": carried.nitrogen_leakage * span.leaking + filling.nitrogen + walk.nitrogen,
    }


def _wastewater(carried: Supplies, persons: float, active: float, removed: float) -> float:
    """Return urine, humidity condensate, the canisters' water and used hygiene water."""
    fixed = c.URINE + c.URINE_SOLIDS + c.SWEAT_SOLIDS + c.HYGIENE
    return fixed * persons + c.HUMIDITY * active + _reaction(carried) * removed


def _reaction(carried: Supplies) -> float:
    """Return the water that canisters give off a kilogram of carbon dioxide they take up."""
    canisters = carried.co2_removal is None and carried.lioh_canisters is not None
    return c.REACTION_WATER if canisters else 0.0
