"""Energy along the flight: fuel cells on tanks that boil off, loads by phase, arrays, batteries."""

from __future__ import annotations

import pytest

import mplan
from mplan.checks import boil_off, power
from mplan.contingencies.ways_out.lasting import still_there
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.flight.living.feeding import could_give
from mplan.physics.constants import DAY, HOUR
from mplan.vehicle.living.energy import Around, PowerUse, Sunlight, feed

SHIP = "elements.service_module"
TANKS = {
    f"{SHIP}.tanks.cell_hydrogen": {
        "propellant": "liquid hydrogen",
        "load": "26 kg",
        "residuals": "1 kg",
        "boil_off": "1 %",
    },
    f"{SHIP}.tanks.cell_oxygen": {
        "propellant": "liquid oxygen",
        "load": "200 kg",
        "residuals": "4 kg",
        "boil_off": "0.2 %",
    },
    f"{SHIP}.power.fuel_cell": {
        "hydrogen_tank": "cell_hydrogen",
        "oxygen_tank": "cell_oxygen",
    },
}


@pytest.fixture(scope="module")
def flown(reference_landing, landing_plan):
    """A function that flies the reference landing with changes, on its own climb."""
    return lambda changes: mplan.fly(reference_landing.change(changes), like=landing_plan).flight


def test_cells_draw_from_tanks_to_the_gram(flown):
    """What is gone of both tanks is what boiled off and what the crew's water weighs."""
    flight = flown(TANKS)
    end, water = flight.end.ledger, flight.end.ledger.account("crew_module").received
    assert water > 50.0
    drawn = 0.0
    for tank, load, part in (("cell_hydrogen", 26.0, 0.111907), ("cell_oxygen", 200.0, 0.888093)):
        key = ("service_module", tank)
        cells = load - end.levels[key] - end.boiled[key]
        assert cells == pytest.approx(part * water, rel=1e-4)
        drawn += cells
    assert drawn == pytest.approx(water, abs=1e-9)


def test_boiling_off_takes_energy(flown):
    """Ten times the boil-off leaves less to give; the books close by the tank that ends first."""
    dry = {**TANKS[f"{SHIP}.tanks.cell_hydrogen"], "load": "12 kg", "boil_off": "5 %"}
    flight = flown({**TANKS, f"{SHIP}.tanks.cell_hydrogen": dry})
    gives = could_give(flight.scenario, flight.end.ledger, "service_module")
    stored = flight.scenario.elements["service_module"].power.stored_energy
    assert gives < stored
    use = next(x for x in power.used(flight) if x.element == "service_module")
    assert use.drawn == pytest.approx(gives, rel=1e-6)
    assert [x.check for x in power.findings(flight)] == ["power"]
    assert any(x.element == "service_module" for x in boil_off.lost(flight))


def test_loads_go_by_the_phase(flown, landing_plan):
    """The lander's cabin takes half on the ground: less is drawn, by that much."""
    usual = landing_plan.scenario.elements["ascent_stage"].power.load
    loads = {"elements.ascent_stage.power.loads": {"on the Moon": f"{usual / 2.0} W"}}
    flight = flown(loads)
    stay = next(x for x in flight.passages if x.event.do == "stay")
    grounded = stay.after.elapsed - stay.before.elapsed
    was, now = (
        sum(x.used for x in power.used(y) if x.element == "ascent_stage")
        for y in (landing_plan.flight, flight)
    )
    assert was - now >= usual / 2.0 * grounded * 0.99


def test_arrays_and_a_battery_by_hand(first_landing):
    """1 kW at 60 % pointing, the Sun 3 % stronger, over 0.3 kW: the rest charges, to the brim."""
    changes = {
        "elements.ascent_stage.power": {
            "stored_energy": "10 kWh",
            "supply": "0 W",
            "load": "300 W",
            "arrays": {"power": "1 kW", "pointing": "60 %"},
            "battery": {"charge_limit": "200 W", "efficiency": "90 %", "discharge_limit": "250 W"},
        }
    }
    has = first_landing.change(changes).elements["ascent_stage"].power
    use = PowerUse("ascent_stage", has.stored_energy, drawn=3.6e6)
    sunny = Around("", Sunlight(1.0, 1.03))
    feed([(use, has)], HOUR, None, around=sunny)
    assert use.drawn == pytest.approx(3.6e6 - 200.0 * 0.9 * HOUR)  # charged at its limit
    feed([(use, has)], DAY, None, around=sunny)
    assert use.drawn == pytest.approx(0.0, abs=1e-6)  # full
    feed([(use, has)], HOUR, None, around=Around("", Sunlight(0.0, 1.03)))
    assert use.drawn == pytest.approx(250.0 * HOUR)  # it gives 250 W at most
    assert use.lacking == pytest.approx(50.0 * HOUR)


def test_a_way_out_goes_by_the_tanks_too(flown):
    """Half the power lost leaves half of what the tanks still give."""
    point = CabinPoint(flown(TANKS), "crew_module", 60.0 * HOUR)
    now, half = (still_there(point, point.elapsed, x) for x in (None, "half the power lost"))
    assert half.energy == pytest.approx(now.energy / 2.0, rel=1e-9)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        (
            {
                f"{SHIP}.power.fuel_cell": {
                    "hydrogen_tank": "cell_oxygen",
                    "oxygen_tank": "cell_oxygen",
                }
            },
            "accepted: a tank of this element with liquid hydrogen",
        ),
        (
            {f"{SHIP}.power.fuel_cell": {"hydrogen_tank": "cell_hydrogen"}},
            "oxygen_tank: missing, as hydrogen_tank is given",
        ),
        ({f"{SHIP}.power.battery": {}}, "given together with fuel_cell"),
        ({f"{SHIP}.power.arrays": {"power": "-1 kW"}}, "too small"),
        ({f"{SHIP}.power.loads": {"descent": "-5 W"}}, "too small"),
        ({f"{SHIP}.power.loads": {"descnt": "5 W"}}, "loads.descnt: unknown name; did you mean"),
    ],
)
def test_what_does_not_fit_is_told(reference_landing, changes, words):
    with pytest.raises(mplan.ScenarioError, match=words.replace(".", r"\.")):
        reference_landing.change({**TANKS, **changes})
