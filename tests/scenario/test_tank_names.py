"""The names a scenario may use are those of the table of properties, in its order."""

from __future__ import annotations

from typing import get_args

from mplan.physics.propellants import PROPELLANTS
from mplan.scenario.tank_names import PropellantName


def test_every_propellant_with_properties_may_be_named_and_no_other():
    assert get_args(PropellantName) == tuple(PROPELLANTS)
