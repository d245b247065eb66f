"""What flown crews used of oxygen, water and canisters, from their number and days alone."""

from __future__ import annotations

from math import ceil

import pytest

from mplan.physics.constants import DAY, HOUR
from mplan.scenario import Supplies
from mplan.scenario.elements import ElementPower
from mplan.scenario.living.crew_day import CrewDay
from mplan.vehicle.living.account import LivingAccount
from mplan.vehicle.living.flows import Flows, Span, flows
from mplan.vehicle.living.life_support import uses

LB = 0.45359237
BTU = 1055.06  # J
VOLTS = 30.0  # of the lander's batteries, the mean (from memory)
NO_EXERCISE = {"exercise": "0 h"}
CARTRIDGE = {"count": 30, "mass": "3 kg", "rated": "36 h"}


@pytest.fixture
def flown(table):
    """The figures as printed, by item."""
    return {item: row["value"] for item, row in table("supplies_flown").items()}


def lived(hours: float, crew: int = 3, day: CrewDay | None = None, **stated) -> Flows:
    heat = stated.pop("heat", 0.0)
    span = Span(crew, hours * HOUR, hours * HOUR, heat=heat)
    return flows(Supplies.model_validate(stated), day or CrewDay(), span)


def test_oxygen_of_three_people_for_82_hours(flown):
    """20.3 lb (or 21.9 lb by the table of the same report) with the leakage of both cabins: 10 %.

    A mean day comes out 9 % high, a day without exercise, which nobody took there, within 2 %.
    """
    leak = f"{flown['leakage lb/h'] * LB * 24.0} kg/d"
    hours, used = flown["oxygen hours"], flown["oxygen used lb"] * LB
    mean = lived(hours, oxygen_leakage=leak).taken["oxygen"]
    assert mean == pytest.approx(used, rel=0.10)
    assert mean == pytest.approx(flown["oxygen used by telemetry lb"] * LB, rel=0.03)
    day = CrewDay.model_validate(NO_EXERCISE)
    assert lived(hours, day=day, oxygen_leakage=leak).taken["oxygen"] == pytest.approx(
        used, rel=0.02
    )
    breathed = lived(hours, day=day).taken["oxygen"] / hours / LB
    assert breathed == pytest.approx(flown["oxygen metabolic lb/h"], rel=0.05)


def test_cooling_water_of_a_lander(flown):
    """290 lb carried off the heat of 1640 A h and of three people for 82 h, and some was drunk.

    Most of what they drank came from the ship: of the lander's water only cooling is counted, which
    leaves a few pounds open. 10 %.
    """
    heat = flown["charge used A h"] * HOUR * VOLTS
    hours = flown["oxygen hours"]
    cooled = lived(hours, heat=heat, evaporative_cooling=True).taken["potable_water"]
    drunk = lived(hours).taken["potable_water"]
    assert cooled - drunk == pytest.approx(flown["water used lb"] * LB, rel=0.10)


def test_fuel_cell_water_from_the_energy(flown):
    """393 kWh make 315 lb of water of 35 lb of hydrogen: 10 %, at a cell voltage only assumed."""
    power = ElementPower.model_validate(
        {
            "stored_energy": f"{flown['energy kW h']} kWh",
            "supply": "0 W",
            "load": "2 kW",
            "fuel_cell": {},
        }
    )
    assert power.reactants / LB == pytest.approx(flown["water made lb"], rel=0.10)
    assert power.reactants * 2.016 / 18.015 / LB == pytest.approx(
        flown["hydrogen used lb"], rel=0.10
    )


def test_water_that_leaves_a_ship_with_fuel_cells(flown):
    """Urine, condensate and what does not fit: 334 lb dumped or evaporated in 195 h. 10 %.

    The crew washed with wet wipes: no hygiene water. The tanks end 15 to 20 lb fuller (from
    memory), which our full tank cannot.
    """
    stores = Supplies.model_validate(
        {
            "potable_water": "16 kg",
            "dumped": ["urine_and_condensate"],
            "lioh_canisters": CARTRIDGE,
        }
    )
    alone = flown["hours of two in the lander"]
    account = LivingAccount()
    for crew, hours in ((3, 96.0), (1, alone), (3, flown["hours"] - 96.0 - alone)):
        span = Span(crew, hours * HOUR, hours * HOUR)
        account = account.lived(span, flows(stores, CrewDay(), span))
        made = flown["water made lb"] * LB * hours / flown["hours"]
        account = account.given_water(made, stores)
    washed = account.taken["hygiene_water"]
    gone = account.overboard["urine_and_condensate"] + account.overboard["water"] - washed
    dumped = (flown["water dumped lb"] + flown["water evaporated lb"]) * LB
    assert gone == pytest.approx(dumped, rel=0.10)


@pytest.mark.parametrize(
    ("away", "count"),
    [(0.0, 25), (72.0, 21)],
)
def test_canisters_of_a_twelve_day_landing(away, count):
    """Three people, 295 h, one canister every 12 h; 30 were carried (from memory): 21 to 30.

    By hand: 885 person-hours over 36 are 24.6; with two in the lander for three days 741, 20.6.
    """
    stores, day = Supplies.model_validate({"lioh_canisters": CARTRIDGE}), CrewDay()
    account = LivingAccount()
    for crew, hours in ((3, 295.0 - away), (1, away)):
        span = Span(crew, hours * HOUR, hours * HOUR)
        account = account.lived(span, flows(stores, day, span))
    (removal,) = (
        x for x in uses("ship", stores, account, day, aboard=3) if x.supply == "co2_removal"
    )
    assert removal.note.startswith(f"{count} of 30 LiOH canisters")
    assert removal.short == 0.0


def test_a_cartridge_rated_at_a_harder_day_lasts_longer_on_a_mean_one(flown):
    """41 man-hours at 520 Btu an hour, 152 W: 45.7 h of a mean person, by the ratio of heats.

    27 h of three people were got out of it (82 man-hours), with twice the gas allowed in the air.
    """
    rated = {
        "count": 1,
        "mass": "3 kg",
        "rated": f"{flown['rating of a primary cartridge man-h']} h",
        "rated_at": f"{flown['rate of that rating Btu/h'] * BTU / HOUR} W",
    }
    canister = Supplies.model_validate({"lioh_canisters": rated}).lioh_canisters
    assert canister
    hours = canister.takes / 0.998 * DAY / HOUR
    assert hours == pytest.approx(41.0 * 152.4 / 136.8, rel=1e-3)
    assert ceil(3 * 27.0 / hours) == 2


@pytest.mark.parametrize(("hydroxide", "hours"), [("2.04 kg", 36.0)])
def test_a_canister_worked_out_from_its_hydroxide(hydroxide, hours):
    """4.5 lb of hydroxide, 36 man-hours (both from memory) at 75 to 85 % used (common practice)."""
    canister = Supplies.model_validate(
        {"lioh_canisters": {"count": 1, "mass": "3 kg", "hydroxide": hydroxide}}
    ).lioh_canisters
    assert canister
    assert canister.person_time / HOUR == pytest.approx(hours, rel=0.06)
