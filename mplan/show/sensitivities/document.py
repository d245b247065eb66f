"""Sensitivities and exchange ratios as JSON values."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from mplan.cautions import CAUTIONS
from mplan.scenario import Scenario
from mplan.studies.sensitivities.differences import Effect, Sensitivities, Sensitivity
from mplan.studies.sensitivities.exchange import Ratio

FORMAT = "mplan-sensitivities/1"


def document(
    scenario: Scenario, found: Sensitivities, ratios: Sequence[Ratio] = ()
) -> dict[str, Any]:
    """Return them as JSON values; each unit stands beside what is counted in it."""
    return {
        "format": FORMAT,
        "cautions": list(CAUTIONS),
        "scenario": {"name": scenario.mission.name, "hash": scenario.hash},
        "tightest_burn": found.tightest or None,
        "margins_m_s": dict(found.margins),
        "sensitivities": [_sensitivity(each) for each in found.found],
        "exchange_ratios": [_ratio(each) for each in ratios],
    }


def _sensitivity(each: Sensitivity) -> dict[str, Any]:
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
    }


def _effect(name: str, effect: Effect) -> dict[str, Any]:
    return {
        "burn": name,
        "m_s_per_unit": effect.value,
        "spread_m_s_per_unit": effect.spread,
        "one_unit_more_m_s": effect.more,
        "one_unit_less_m_s": effect.less,
    }


def _ratio(each: Ratio) -> dict[str, Any]:
    flown = each.ratio is not None
    return {
        "element": each.element,
        "lift_off_kg_per_kg": each.ratio,
        "spread_kg_per_kg": each.spread if flown else None,
        "propellant_kg_per_kg": dict(each.paid),
        "margin_left_over_m_s_per_kg": each.left if flown else None,
        "not_flown": each.trouble or None,
    }
