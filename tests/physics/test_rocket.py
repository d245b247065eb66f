"""The rocket equation; published mass chains are in tests/published."""

from math import e

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mplan.physics import rocket
from mplan.physics.constants import G0

isps = st.floats(200.0, 480.0)


def test_mass_ratio_e_gives_the_exhaust_speed():
    assert rocket.delta_v(300.0, e, 1.0) == pytest.approx(300.0 * G0)


@given(isp=isps, mass=st.floats(100.0, 1e6), spent=st.floats(0.0, 9000.0))
def test_propellant_undoes_delta_v(isp, mass, spent):
    burnt = rocket.propellant(isp, mass, spent)
    assert 0.0 <= burnt < mass
    assert rocket.delta_v(isp, mass, mass - burnt) == pytest.approx(spent, abs=1e-6)


@given(isp=isps, thrust=st.floats(1e3, 1e7), propellant=st.floats(1.0, 1e6))
def test_burn_time_empties_the_tank(isp, thrust, propellant):
    assert rocket.mass_flow(thrust, isp) * rocket.burn_time(thrust, isp, propellant) == (
        pytest.approx(propellant)
    )
