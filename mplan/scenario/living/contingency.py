"""What a crew keeps for a flight that lasts longer than planned."""

from __future__ import annotations

from pydantic import Field

from mplan.physics.constants import DAY
from mplan.scenario.quantities import Time
from mplan.scenario.table import TomlTable

USUAL = DAY  # common practice, no source


class Contingency(TomlTable):
    """What supplies and energy should still last for when the plan is over."""

    time: Time = Field(
        USUAL,
        description="Beyond the plan's own time, in every cabin that people live in. Without the "
        "table pictures shade 1 d (common practice, no source), and nothing is found short of it.",
        examples=["2 d"],
    )
