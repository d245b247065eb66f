"""The JSON of a plan: it obeys its schema, and anyone can fly its arcs again."""

from __future__ import annotations

import json
from datetime import datetime

import erfa
import jsonschema
import numpy as np
import pytest
from scipy.integrate import solve_ivp

import mplan
from mplan import contract
from mplan.physics.bodies import ephemeris
from mplan.physics.bodies.time import tdb_from_utc

MU_SUN = 1.32712440041e11  # km3/s2, DE421


def test_the_schema_is_a_schema():
    """The contract is itself a valid JSON Schema."""
    jsonschema.Draft202012Validator.check_schema(contract.schema())


def test_documents_obey_the_schema(any_plan):
    """Every profile's plan is a valid document, as text and back."""
    document = json.loads(contract.as_json(any_plan))
    jsonschema.validate(document, contract.schema())
    assert document["format"] == "mplan-plan/2"


def test_findings_and_remedies_obey_it_too(overheight):
    """A plan that does not close is a document like any other."""
    document = contract.document(overheight)
    jsonschema.validate(document, contract.schema())
    assert document["verdict"]["closes"] is False
    assert document["findings"][0]["remedies"]


@pytest.mark.parametrize(
    "field",
    [
        "verdict",
        "burns",
        "limits",
        "counters",
        "trajectory",
        "insertion_fails",
        "stack",
        "supplies",
        "power",
    ],
)
def test_the_schema_misses_no_field(landing_plan, field):
    """A document without one of its parts is refused."""
    document = contract.document(landing_plan)
    del document[field]
    with pytest.raises(jsonschema.ValidationError, match=f"'{field}' is a required property"):
        jsonschema.validate(document, contract.schema())


def test_an_unknown_field_is_refused(landing_plan):
    """New fields need a new schema."""
    document = contract.document(landing_plan)
    document["burns"][0]["colour"] = "red"
    with pytest.raises(jsonschema.ValidationError, match="'colour' was unexpected"):
        jsonschema.validate(document, contract.schema())


def test_the_climb_is_what_was_flown(any_plan):
    """Its losses are those of the budget's burns; its events and falls are those of the flight."""
    document, flown = contract.document(any_plan), any_plan.flight.end.climb
    found = document["ascent"]
    burns = [x for x in document["burns"] if x["leg"] == "climb"]
    assert found["reaches_orbit"]
    assert sum(found["losses_m_s"].values()) == pytest.approx(
        sum(sum(x["losses_m_s"].values()) for x in burns)
    )
    assert found["max_dynamic_pressure_pa"] == max(flown.track.dynamic_pressure)
    assert found["max_acceleration_g0"] <= 4.0001
    assert found["propellant_left_kg"] > 0.0
    assert found["events"][-1]["event"] == "insertion"
    assert found["events"][-1]["elapsed_s"] == pytest.approx(found["duration_s"])
    assert {x["of"] for x in found["impacts"]} >= {"first_stage", "second_stage"}


def test_a_climb_that_fails_says_why(reference_landing):
    """What it lacks, and where it comes down."""
    weak = mplan.fly(reference_landing.change("elements.second_stage.engines.main.count", 1))
    document = contract.document(weak)
    jsonschema.validate(document, contract.schema())
    found = document["ascent"]
    assert found["reaches_orbit"] is False
    assert found["why_not"] == weak.flight.end.climb.trouble
    assert found["comes_down"]["downrange_km"] > 100.0


def test_the_power_adds_up(any_plan):
    """What is left of each store is what was not drawn, and all loads are fed."""
    power = contract.document(any_plan)["power"]
    assert {"service_module", "crew_module"} <= {row["element"] for row in power}
    for row in power:
        assert row["left_kwh"] == pytest.approx(row["stored_kwh"] - row["drawn_kwh"])
    fed = sum(row["supplied_kwh"] + row["drawn_kwh"] + row["lacking_kwh"] for row in power)
    assert fed == pytest.approx(sum(row["load_kwh"] for row in power))


def test_what_is_not_flown_is_null(orbital_plan):
    """A mission that does not land has neither descent nor rendezvous."""
    told = contract.document(orbital_plan)
    assert told["rendezvous"] is None
    assert told["descent"] is None


def test_the_rendezvous_is_whole(landing_plan):
    """Its burns and what is allowed add up to the budget's; the track leads from there to here."""
    found = contract.document(landing_plan)["rendezvous"]
    burn = next(x for x in contract.document(landing_plan)["burns"] if x["leg"] == "rendezvous")
    total = sum(x["delta_v_m_s"] for x in found["burns"])
    total += found["midcourse_allowed_m_s"] + found["docking_allowed_m_s"]
    assert total == pytest.approx(burn["required_m_s"])
    assert found["insertion_utc"] == burn["epoch_utc"]
    assert len({len(column) for column in found["track"].values()}) == 1
    assert found["track"]["range_km"][0] > 100.0 > 0.1 > found["track"]["range_km"][-1]


def test_the_counters_of_two_ships(two_launches):
    """Every element is told with its ship; times before the crew's lift-off are below zero."""
    document = contract.document(mplan.Plan(two_launches, ()))
    jsonschema.validate(document, contract.schema())
    told = document["counters"]
    assert {x["ship"] for x in told["starts"]} == {"lander", None}
    assert told["starts"][0]["elapsed_s"] == document["burns"][0]["elapsed_s"] - 3.0  # hold-down
    assert {x["element"] for x in told["jettisons"] if x["elapsed_s"] < 0.0} == {
        "booster_pair",
        "core_stage",
        "upper_stage",
    }
    assert [x["active"]["docking"] for x in told["dockings"]] == [1, 2]
    assert [x["crew"] for x in told["crew_transfers"]] == [2, 2]
    assert all(x["loaded_kg"] > x["left_kg"] for x in told["thruster_tanks"])


def test_settling_and_boil_off_are_told(landing_plan):
    """Each start with its settling, null where none is needed; what the transfer stage lost."""
    found = contract.document(landing_plan)
    settling = {burn["name"]: burn["settling"] for burn in found["burns"]}
    assert settling["lunar ascent"] is None
    assert settling["powered descent"]["element"] == "ascent_stage"
    injection = next(x for x in landing_plan.burns if x.leg == "translunar injection")
    told = settling["translunar injection"]["propellant_kg"]
    assert told == injection.settling.propellant > 0.0
    (lost,) = found["boil_off"]
    assert lost["element"] == "transfer_stage"
    assert sum(lost["tanks_kg"].values()) == pytest.approx(lost["lost_kg"])
    assert 0.0 < lost["lost_before_last_burn_kg"] < lost["lost_kg"]


def test_epochs_are_to_the_microsecond(landing_plan):
    """The perilune epoch less the injection epoch is the time of flight asked for."""
    trajectory = contract.document(landing_plan)["trajectory"]
    first, last = (
        tdb_from_utc(datetime.strptime(trajectory[x]["epoch_utc"], "%Y-%m-%dT%H:%M:%S.%fZ"))
        for x in ("injection", "perilune")
    )
    asked = landing_plan.scenario.dates.translunar_time
    assert last - first == pytest.approx(asked, abs=0.01)


def test_the_injection_reaches_the_moon_in_other_hands(landing_plan):
    """Point masses of Earth (with J2), Moon and Sun, written here afresh, arrive alike.

    100 m at perilune: the Moon of the flown arc is integrated along and departs by up to 30 m from
    DE421's, which is looked up here. (J2 taken about the frame's z axis instead of the true pole
    of 2031, 0.17 deg away, would be worth 3 km.)
    """

    trajectory = contract.document(landing_plan)["trajectory"]
    start = trajectory["injection"]
    t0 = tdb_from_utc(datetime.strptime(start["epoch_utc"], "%Y-%m-%dT%H:%M:%S.%fZ"))
    pole = erfa.pnm06a(2451545.0, t0 / 86400.0)[2]
    state = np.array([*start["position_km"], *start["velocity_km_s"]])

    def pull(r: np.ndarray, mu: float) -> np.ndarray:
        return -mu * r / np.linalg.norm(r) ** 3

    def motion(t: float, y: np.ndarray) -> np.ndarray:
        r = y[:3]
        moon, sun = (f(t0 + t).r / 1e3 for f in (ephemeris.moon, ephemeris.sun))
        k = 1.5 * 1.08262668e-3 * 398600.4418 * 6378.137**2 / np.linalg.norm(r) ** 5
        height = r @ pole
        j2 = k * ((5.0 * height**2 / (r @ r) - 1.0) * r - 2.0 * height * pole)
        a = pull(r, 398600.4418) + j2 + pull(r - moon, 4902.80008) + pull(moon, 4902.80008)
        return np.concatenate([y[3:], a + pull(r - sun, MU_SUN) + pull(sun, MU_SUN)])

    duration = landing_plan.scenario.dates.translunar_time
    run = solve_ivp(motion, (0.0, duration), state, method="DOP853", rtol=1e-11, atol=1e-8)
    there = np.array(trajectory["perilune"]["position_km"])
    # The Moon's figure, which the other hands leave out, moves the perilune by some 0.3 km.
    assert np.linalg.norm(run.y[:3, -1] - there) < 0.5


def test_the_entry_is_told_as_flown(landing_plan):
    """Peaks, corridor, parachutes and splash are those of the flight, in their units."""
    told, entry = contract.document(landing_plan)["entry"], landing_plan.flight.end.entry
    assert told["estimate"] is False
    assert told["peak_acceleration_g0"] == entry.peak_load
    assert told["heat_load_j_m2"] == entry.heat.load
    assert told["heat_load_upper_j_m2"] == entry.heat.upper_load > entry.heat.load
    assert told["shield"]["required_kg_m2"] == entry.shield_required
    assert told["shield"]["ablated_kg_m2"] < entry.shield_required
    assert tuple(told["bank_reversals_s"]) == entry.flown.reversals
    assert told["off_place_km"] * 1e3 == entry.miss
    assert told["shield"]["areal_mass_kg_m2"] == 24.0
    assert told["shield"]["mass_bound_kg"] > 24.0 * np.pi / 4.0 * 4.0**2
    before, after = told["light_at_drogues"], told["light"]
    under = (entry.splash.t - entry.t - entry.drogue_time) / 3600.0
    assert after["local_solar_time_h"] - before["local_solar_time_h"] == pytest.approx(
        under, abs=1e-3
    )
    assert after["light"] == "daylight"
    assert after["sun_elevation_deg"] > 0.0
    steep, shallow = told["corridor"]["steep_deg"], told["corridor"]["shallow_deg"]
    assert steep < landing_plan.scenario.orbits.entry_angle * 180.0 / np.pi < shallow
    assert told["drogues"]["utc"] < told["mains"]["utc"] < told["splash_utc"]
    assert told["drogues"]["altitude_km"] == 7.2
    assert told["touchdown_speed_m_s"] < told["touchdown_speed_one_main_failed_m_s"]


def test_an_entry_that_is_not_flown_has_no_figures(reference_landing):
    """Null, and the estimate's reason; a skip has peaks and no parachutes."""
    bare = mplan.fly(reference_landing.change("elements.crew_module.aeroshell", None))
    skips = mplan.fly(reference_landing.change("orbits.entry_angle", "-4.6 deg"))
    for plan in (bare, skips):
        document = contract.document(plan)
        jsonschema.validate(document, contract.schema())
        assert document["entry"]["estimate"] is True
        assert document["entry"]["drogues"] is None
        assert document["entry"]["light_at_drogues"] is None
    assert contract.document(bare)["entry"]["peak_acceleration_g0"] is None
    assert contract.document(bare)["entry"]["shield"] is None
    assert contract.document(skips)["entry"]["peak_acceleration_g0"] > 0.0


def test_the_descent_is_told(landing_plan):
    """Its phases add up to what was flown."""
    told = contract.document(landing_plan)["descent"]
    flown = landing_plan.flight.end.descent
    assert sum(x["delta_v_m_s"] for x in told["phases"]) == pytest.approx(flown.delta_v)
    assert told["hover_seconds_left_s"] == flown.seconds_left
    assert told["last_abort"]["elapsed_s"] > flown.phase("approach").t


def test_the_stack_is_whole(landing_plan):
    """Pieces add up to each element's length, and carrying elements to the stack's height."""
    stack = contract.document(landing_plan)["stack"]
    for each in stack["elements"]:
        lengths = [piece["length_m"] for piece in each["pieces"]]
        assert sum(lengths) == pytest.approx(each["length_m"])
    outside = [x["length_m"] for x in stack["elements"] if x["inside"] is None]
    assert sum(outside) == pytest.approx(stack["height_m"])
    assert [x["element"] for x in stack["elements"]] == list(landing_plan.scenario.stack)
    site = landing_plan.scenario.launch_site.pad
    assert stack["limits"]["door_height_m"] == site.door_height
    assert stack["limits"]["umbilical_reach_m"] is None
    assert stack["lift_off_thrust_n"] > 9.81 * stack["mass_kg"]
    loads = {x["tank"]: x["load_kg"] for x in stack["elements"][0]["tanks"]}
    assert loads == {"kerosene": 492e3, "oxygen": 1230e3}


def test_estimates_are_marked(reference_landing):
    """Burns and events that were not flown say so, and from what; the flown ones do not."""
    stated = {"outbound_correction": "20 m/s", "homeward_correction": "8 m/s"}
    plan = mplan.fly(reference_landing.change({"allowances": stated, "errors": None}))
    written = contract.document(plan)
    marked = {x["name"] for x in written["burns"] if x["estimate"]}
    assert marked == {"outbound correction", "homeward correction"}
    assert all(bool(x["estimate_from"]) == x["estimate"] for x in written["burns"])
    events = {x["event"] for x in written["timeline"] if x["estimate"]}
    assert marked <= events
    assert len(events) < len(written["timeline"])
    assert written["escape"]["estimate"] is True
