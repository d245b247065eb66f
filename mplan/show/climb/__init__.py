"""The front door of workbook 05, the climb: what its cells show."""

from __future__ import annotations

from mplan.show.climb.panel import panel
from mplan.show.climb.pictures import (
    acceleration,
    altitude,
    control,
    control_by_phase,
    coverage,
    dynamic_pressure,
    escapes,
    losses,
    speed,
)
from mplan.show.climb.tables import (
    control_contributions,
    control_table,
    coverage_table,
    engines_out,
    escape_table,
    falls,
    figures,
    loss_table,
    off_nominal,
    staging,
    upper_stage_only,
    weather,
)

__all__ = [
    "acceleration",
    "altitude",
    "control",
    "control_by_phase",
    "control_contributions",
    "control_table",
    "coverage",
    "coverage_table",
    "dynamic_pressure",
    "engines_out",
    "escape_table",
    "escapes",
    "falls",
    "figures",
    "loss_table",
    "losses",
    "off_nominal",
    "panel",
    "speed",
    "staging",
    "upper_stage_only",
    "weather",
]
