"""The rocket equation against published masses of Apollo 11."""

from itertools import pairwise

import pytest

from mplan.physics import rocket
from mplan.physics.constants import MU_MOON, R_MOON

FT, LB = 0.3048, 0.45359237
SERVICE_ISP = 314.0  # s, from memory; the flown burns imply 315 to 317


def test_third_stage(table):
    """Mass ratio of the second burn: 10 278 to 10 447 ft/s for 424 to 431 s.

    The press kit's masses (read) with the engine's specific impulse, known to that range from
    memory; the burn's characteristic velocity was about 10 441 ft/s (from memory).
    """
    masses = {item: row["mass_lb"] * LB for item, row in table("third_stage").items()}
    before, after = masses["second ignition"], masses["second cut-off"]
    spent = [rocket.delta_v(isp, before, after) / FT for isp in (424.0, 431.0)]
    assert spent == pytest.approx([10278.0, 10447.0], abs=2.0)
    assert spent[0] < 10441.0 < spent[1]
    # What is gone besides the mainstage propellant is start and shut-down: below 1.5 %.
    burnt = rocket.propellant(431.0, before, spent[1] * FT)
    assert burnt == pytest.approx(masses["mainstage propellant"], rel=0.05)
    assert burnt == pytest.approx(before - after)


def test_service_module_budget(table):
    """Apollo 11 final flight plan, table 5-4 (read): required propellant of six burns.

    The plan prints delta-v and propellant but no masses, so the mass before the first insertion
    is taken from that burn (94 952 lb at 314 s) and the rest must follow: the second insertion
    from it, return and flexibility from each other. 2 %; short burns 3 %, for ullage is in them.
    """
    rows = table("propellant_budget")

    def start_of(item):
        """Return the mass [kg] that makes the published propellant out of the published delta-v."""
        row = rows[item]
        share = rocket.propellant(SERVICE_ISP, 1.0, row["delta_v_ft_s"] * FT)
        return row["required_lb"] * LB / share

    def needed(item, mass):
        return rocket.propellant(SERVICE_ISP, mass, rows[item]["delta_v_ft_s"] * FT) / LB

    first = start_of("insertion 1")
    assert first / LB == pytest.approx(94952.0, rel=1e-3)
    midcourse = needed("midcourse", first + rows["midcourse"]["required_lb"] * LB)
    assert midcourse == pytest.approx(rows["midcourse"]["required_lb"], rel=0.03)
    second = first - rows["insertion 1"]["required_lb"] * LB
    assert needed("insertion 2", second) == pytest.approx(1115.4, rel=0.03)
    homeward = start_of("return")
    assert homeward / LB == pytest.approx(36233.0, rel=1e-3)
    left = homeward - rows["return"]["required_lb"] * LB
    assert needed("flexibility", left) == pytest.approx(2212.4, rel=0.02)


def test_service_module_budget_adds_up(table):
    """Each line of the table is the one above less what it requires (the print's own check)."""
    rows = list(table("propellant_budget").values())
    for above, row in pairwise(rows):
        assert above["remaining_lb"] - row["required_lb"] == pytest.approx(
            row["remaining_lb"], abs=0.11
        )


@pytest.mark.parametrize(("burn", "flow"), [("insertion 1", 66.5), ("return", 67.6)])
def test_mean_flow(table, burn, flow):
    """66.5 lb/s is what the table's long burns come to; 91.2 kN at 314 s gives 65.3 (memory)."""
    row = table("propellant_budget")[burn]
    assert row["required_lb"] / row["burn_s"] == pytest.approx(flow, rel=0.01)
    thrust = flow * LB * SERVICE_ISP * 9.80665
    assert rocket.burn_time(thrust, SERVICE_ISP, row["required_lb"] * LB) == pytest.approx(
        row["burn_s"], rel=0.01
    )


@pytest.mark.parametrize("burn", ["insertion 1", "insertion 2", "return"])
def test_flown_burns(table, burn):
    """Mission report's masses (memory) with 314 s give the flown delta-v: 1 %, the Isp's own."""
    row = table("mass_history")[burn]
    spent = rocket.delta_v(SERVICE_ISP, row["before_lb"], row["after_lb"]) / FT
    assert spent == pytest.approx(row["delta_v_ft_s"], rel=0.01)


def test_flown_ascent(table):
    """The ascent engine at 311 s (memory): masses as flown, delta-v as planned (TN D-6846), 2 %."""
    row = table("mass_history")["ascent"]
    spent = rocket.delta_v(311.0, row["before_lb"], row["after_lb"]) / FT
    assert spent == pytest.approx(row["delta_v_ft_s"], rel=0.02)


def test_flown_descent(table):
    """The descent engine, throttled, at 302 s (memory: 311 s at full thrust, less below it).

    The masses are those of the flight, whose landing took 42 s longer than the plan of 6775 ft/s;
    holding the weight so long adds 42 s of lunar gravity. 3 % for the specific impulse.
    """
    row = table("mass_history")["descent"]
    spent = rocket.delta_v(302.0, row["before_lb"], row["after_lb"])
    hover = 42.0 * MU_MOON / R_MOON**2
    assert spent == pytest.approx(row["delta_v_ft_s"] * FT + hover, rel=0.03)
