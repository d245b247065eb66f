"""The JSON of a plan: it obeys its schema, and anyone can fly its arcs again."""

from __future__ import annotations

import json
from datetime import datetime

import erfa
import jsonschema
import numpy as np
import pytest
from scipy.integrate import solve_ivp

from mplan import contract
from mplan.physics import ephemeris
from mplan.physics.time import tdb_from_utc

MU_SUN = 1.32712440041e11  # km3/s2, DE421


def test_the_schema_is_a_schema():
    """The contract is itself a valid JSON Schema."""
    jsonschema.Draft202012Validator.check_schema(contract.schema())


def test_documents_obey_the_schema(any_plan):
    """Every profile's plan is a valid document, as text and back."""
    document = json.loads(contract.as_json(any_plan))
    jsonschema.validate(document, contract.schema())
    assert document["format"] == "mplan-plan/1"


def test_findings_and_remedies_obey_it_too(too_tall):
    """A plan that does not close is a document like any other."""
    document = contract.document(too_tall)
    jsonschema.validate(document, contract.schema())
    assert document["verdict"]["closes"] is False
    assert document["findings"][0]["remedies"]


@pytest.mark.parametrize("field", ["verdict", "burns", "trajectory", "stack", "supplies"])
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

    100 m at perilune: the Moon of the flown arc is integrated along and strays up to 30 m from
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
    assert np.linalg.norm(run.y[:3, -1] - there) < 0.1
