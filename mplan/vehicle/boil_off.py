"""How fast hydrogen and oxygen boil off: heat that leaks in, over the heat that boils a kilogram.

A tank states its `heat_input` or its `boil_off`; where it states neither, a share of what
it holds when full boils off in a day by common practice, without a source. Loss is steady as long
as anything is left: less than it is really on a full cold tank, more on one that is nearly empty.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from mplan.physics.constants import DAY
from mplan.physics.propellants import PROPELLANTS
from mplan.scenario import Element, Scenario, Tank
from mplan.vehicle.ledger import Key
from mplan.vehicle.same import remembered


def rate(tank: Tank) -> float:
    """Return what a tank loses [kg/s]; zero of what does not need to be kept cold."""
    fluid = PROPELLANTS[tank.propellant]
    if not fluid.cryogenic:
        return 0.0
    if tank.heat_input is not None:
        return tank.heat_input / fluid.latent_heat
    share = fluid.boil_off if tank.boil_off is None else tank.boil_off
    return share * tank.full / DAY


def heat(tank: Tank) -> float:
    """Return the heat [W] that leaks into a tank: as stated, or as its loss implies."""
    fluid = PROPELLANTS[tank.propellant]
    return 0.0 if fluid.latent_heat is None else rate(tank) * fluid.latent_heat


def assumed(tank: Tank) -> bool:
    """Tell whether a tank loses what common practice has, as it states nothing."""
    return rate(tank) > 0.0 and tank.heat_input is None and tank.boil_off is None


def losses(scenario: Scenario, elements: Iterable[str], duration: float) -> dict[Key, float]:
    """Return what the tanks of `elements` lose in `duration` [s], were they full: [kg]."""
    rates = _rates(scenario.elements)
    return {key: each * duration for name in elements for key, each in rates[name]}


@remembered(64)  # asked for with every span of time
def _rates(elements: Mapping[str, Element]) -> Mapping[str, tuple[tuple[Key, float], ...]]:
    """Return the tanks of each element that lose anything, with their rates [kg/s]."""
    return {
        name: tuple(
            ((name, tank), each) for tank, holds in x.tanks.items() if (each := rate(holds)) > 0.0
        )
        for name, x in elements.items()
    }
