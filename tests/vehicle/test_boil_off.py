"""What boils off: heat over latent heat, a share a day, or common practice; storables never."""

from __future__ import annotations

import pytest

from mplan.physics.constants import DAY
from mplan.vehicle import boil_off, ledger

TANKS = "elements.transfer_stage.tanks"


@pytest.fixture
def bare(reference_landing):
    """The landing mission whose transfer stage says nothing of boiling off."""
    return reference_landing.change(
        {f"{TANKS}.hydrogen.heat_input": None, f"{TANKS}.oxygen.heat_input": None}
    )


def hydrogen(scenario):
    return scenario.elements["transfer_stage"].tanks["hydrogen"]


def test_heat_boils_off_what_its_latent_heat_allows(reference_landing):
    """446 kW boil a kilogram of hydrogen a second."""
    hot = hydrogen(reference_landing.change(f"{TANKS}.hydrogen.heat_input", "446 kW"))
    assert boil_off.rate(hot) == pytest.approx(1.0)
    assert boil_off.heat(hot) == pytest.approx(446e3)
    assert not boil_off.assumed(hot)


def test_a_stated_share_is_of_the_load(bare):
    """Two per cent of what is loaded in a day."""
    tank = hydrogen(bare.change(f"{TANKS}.hydrogen.boil_off", "2 %"))
    assert boil_off.rate(tank) * DAY == pytest.approx(0.02 * tank.load)
    assert not boil_off.assumed(tank)


def test_a_tank_that_says_nothing_loses_what_is_common(bare):
    """3 % of hydrogen, 0.5 % of oxygen, and it is known to be an assumption."""
    tanks = bare.elements["transfer_stage"].tanks
    assert boil_off.rate(tanks["hydrogen"]) * DAY == pytest.approx(0.03 * tanks["hydrogen"].load)
    assert boil_off.rate(tanks["oxygen"]) * DAY == pytest.approx(0.005 * tanks["oxygen"].load)
    assert boil_off.assumed(tanks["hydrogen"])


def test_a_perfect_tank_loses_nothing(bare):
    """No heat, no loss, and no assumption either."""
    tank = hydrogen(bare.change(f"{TANKS}.hydrogen.heat_input", "0 W"))
    assert boil_off.rate(tank) == 0.0
    assert not boil_off.assumed(tank)


@pytest.mark.parametrize("name", ["service_module", "descent_stage", "ascent_stage"])
def test_storable_propellant_stays(reference_landing, name):
    """Hydrazines and nitrogen tetroxide do not need to be kept cold."""
    assert boil_off.losses(reference_landing, [name], 30.0 * DAY) == {}


def test_a_tank_gives_no_more_than_it_holds(reference_landing):
    """After years a tank is dry, not less, and the ledger tells how much went."""
    full = ledger.filled(reference_landing)
    lost = boil_off.losses(reference_landing, ["transfer_stage"], 3000.0 * DAY)
    dry = full.after_boil_off(lost)
    key = ("transfer_stage", "hydrogen")
    assert dry.levels[key] == 0.0
    assert dry.boiled[key] == full.levels[key]
    assert dry.boiled_off("transfer_stage") == pytest.approx(
        sum(full.levels["transfer_stage", tank] for tank in ("hydrogen", "oxygen"))
    )
    assert full.boiled_off("transfer_stage") == 0.0
