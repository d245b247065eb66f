"""How briskly a craft must answer its control unit, before anybody calls it steered."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from mplan.physics.constants import DEG
from mplan.scenario.quantities import Quantity
from mplan.scenario.table import TomlTable

Turning = Annotated[float, Quantity("angular acceleration", above="0 deg/s2", example="0.2 deg/s2")]
Pushing = Annotated[float, Quantity("acceleration", above="0 m/s2", example="0.02 m/s2")]

POWERED, COASTING = 0.2 * DEG, 0.01 * DEG  # rad/s2, common practice, no source
DOCKING = 0.02  # m/s2, common practice, no source


class ControlSettings(TomlTable):
    """Least accelerations that engines and thrusters must give a craft."""

    powered_turn: Turning = Field(
        POWERED,
        description="In pitch and yaw while a main engine burns; left out, 0.2 deg/s2 "
        "(common practice, no source).",
    )
    coasting_turn: Turning = Field(
        COASTING,
        description="About any axis while coasting, and in roll always; left out, 0.01 deg/s2 "
        "(common practice, no source).",
    )
    docking_push: Pushing = Field(
        DOCKING,
        description="Sideways and lengthways while docking; left out, 0.02 m/s2 "
        "(common practice, no source).",
    )
