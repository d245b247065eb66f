"""Odds as JSON values; `odds.schema.json` in the package is the contract."""

from __future__ import annotations

import json
from importlib.resources import files
from math import isfinite
from typing import Any

from mplan.cautions import CAUTIONS
from mplan.show.odds import words
from mplan.studies.odds import (
    BurnOdds,
    Driven,
    LimitOdds,
    Odds,
    Probability,
    ScatteredFigure,
    TankNeed,
)
from mplan.studies.odds.summary import QUANTILES

FORMAT = "mplan-odds/1"


def schema() -> dict[str, Any]:
    """Return the JSON Schema that every document follows."""
    return json.loads(files("mplan").joinpath("odds.schema.json").read_text("utf-8"))


def document(odds: Odds) -> dict[str, Any]:
    """Return them as JSON values; each unit stands in the name of a figure or of a key."""
    return {
        "format": FORMAT,
        "cautions": list(CAUTIONS),
        "notes": [words.INTERVAL, words.CARRY, words.DRIVEN, *words.NOT_DRAWN],
        "scenario": {"name": odds.mission, "hash": odds.scenario},
        "seed": odds.seed,
        "missions_asked": odds.asked,
        "missions_flown": odds.flown,
        "holds": _probability(odds.holds),
        "holds_without_reserves": _probability(odds.untouched),
        "stops_in_the_plan": list(odds.standing),
        "ended": [{"how": how, "missions": n} for how, n in odds.ended.items()],
        "stopped_by": [{"what": what, "missions": n} for what, n in odds.stops.items()],
        "burns": [_burn(each) for each in odds.burns],
        "limits": [_limit(each) for each in odds.limits],
        "tanks": [_tank(each) for each in odds.tanks],
        "figures": [_figure(each) for each in odds.figures],
        "drivers": [_driven(each) for each in odds.driven],
        "drawn": list(odds.drawn),
    }


def _probability(chance: Probability) -> dict[str, Any]:
    low, high = chance.interval
    share = chance.share if chance.of else None
    return {"missions": chance.count, "of": chance.of, "share": share, "from": low, "to": high}


def _figure(figure: ScatteredFigure) -> dict[str, Any]:
    found = zip(QUANTILES, figure.quantiles, strict=True)
    return {
        "figure": figure.name,
        "planned": figure.planned,
        "quantiles": [{"share_below": share, "value": _known(x)} for share, x in found],
        "standard_deviation": _known(figure.deviation),
    }


def _known(value: float) -> float | None:
    return value if isfinite(value) else None


def _burn(each: BurnOdds) -> dict[str, Any]:
    return {
        "burn": each.name,
        "left": _figure(each.left),
        "reserve_m_s": each.reserve,
        "has_its_propellant": _probability(each.flown),
        "reserve_not_used": _probability(each.untouched),
    }


def _limit(each: LimitOdds) -> dict[str, Any]:
    return {"left": _figure(each.left), "holds": _probability(each.holds)}


def _tank(each: TankNeed) -> dict[str, Any]:
    return {
        "element": each.element,
        "tank": each.tank,
        "load_kg": each.load,
        "left": _figure(each.left),
        "left_in_99_percent_kg": each.bound,
        "to_carry_for_99_percent_kg": each.carry,
    }


def _driven(each: Driven) -> dict[str, Any]:
    return {
        "figure": each.figure,
        "r_squared": each.fit,
        "linear": each.linear,
        "drivers": [
            {
                "drawn": x.title,
                "standard_deviations_for_one": x.coefficient,
                "share_of_variance": x.share,
            }
            for x in each.drivers
        ],
    }
