"""Sensitivities as JSON values; `sensitivities.schema.json` in the package is the contract.

A unit stands in each name, or beside the value as `unit`; what cannot be told is null.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from importlib.resources import files

from mplan.cautions import CAUTIONS
from mplan.contract.missions import mission
from mplan.contract.values import Document
from mplan.scenario import Scenario
from mplan.studies.sensitivities.differences import Sensitivities, Sensitivity
from mplan.studies.sensitivities.effects import Effect
from mplan.studies.sensitivities.exchange import Ratio
from mplan.studies.sensitivities.jumps import Jump

FORMAT = "mplan-sensitivities/2"


def schema() -> Document:
    """Return the JSON Schema that every document obeys."""
    return json.loads(files("mplan").joinpath("sensitivities.schema.json").read_text("utf-8"))


def document(
    scenario: Scenario, found: Sensitivities, ratios: Sequence[Ratio] = (), elements: int = 0
) -> Document:
    """Return them as JSON values; each unit stands beside what is counted in it.

    `elements` counts those of which ratios were asked for.
    """
    return {
        "format": FORMAT,
        "cautions": list(CAUTIONS),
        "scenario": mission(scenario),
        "tightest_burn": found.tightest or None,
        "margins": [{"burn": x, "margin_m_s": margin} for x, margin in found.margins.items()],
        "limits": [
            {"limit": x, "left": room.left, "unit": room.unit, "in_brief": x in found.in_brief}
            for x, room in found.limits.items()
        ],
        "stopped": found.stopped or len(ratios) < elements,
        "asked": {"sensitivities": found.asked, "exchange_ratios": elements},
        "sensitivities": [_sensitivity(each) for each in found.found],
        "exchange_ratios": [_ratio(each) for each in ratios],
    }


def _sensitivity(each: Sensitivity) -> Document:
    what = each.variation
    return {
        "kind": what.kind,
        "of": what.of,
        "unit": what.unit,
        "step": what.step,
        "difference": each.method or None,
        "not_flown": each.trouble or None,
        "lift_off_kg_per_unit": each.lift_off,
        "margins": [_effect(name, effect) for name, effect in each.effects.items()],
        "limits": [_room(name, effect) for name, effect in each.rooms.items()],
        "jumps": [_jump(x) for x in each.jumps],
    }


def _effect(name: str, effect: Effect) -> Document:
    return {
        "burn": name,
        "m_s_per_unit": effect.value,
        "spread_m_s_per_unit": effect.spread,
        "one_unit_more_m_s": effect.more,
        "one_unit_less_m_s": effect.less,
    }


def _room(name: str, effect: Effect) -> Document:
    return {
        "limit": name,
        "per_unit": effect.value,
        "spread_per_unit": effect.spread,
        "one_unit_more": effect.more,
        "one_unit_less": effect.less,
    }


def _jump(each: Jump) -> Document:
    return {
        "after_units": each.near,
        "by_units": each.far,
        "burn": each.burn,
        "margin_m_s": each.by,
        "cause": each.cause or None,
    }


def _ratio(each: Ratio) -> Document:
    flown = each.ratio is not None
    return {
        "element": each.element,
        "lift_off_kg_per_kg": each.ratio,
        "spread_kg_per_kg": each.spread if flown else None,
        "propellant_kg_per_kg": dict(each.paid),
        "margin_left_over_m_s_per_kg": each.left if flown else None,
        "not_flown": each.trouble or None,
    }
