"""A plan as a document for other programs: versioned, with the unit in every name.

`plan.schema.json` in the package is the contract; `format` changes when a field's meaning does.
What is not worked out is null, never a guess.
"""

from __future__ import annotations

import json
from dataclasses import asdict
from importlib.resources import files

import numpy as np

import mplan
from mplan.cautions import CAUTIONS
from mplan.checks import boil_off, power, supplies
from mplan.checks.phases import phases
from mplan.checks.thrusters import accounts
from mplan.contingencies import failed_insertion
from mplan.contract import (
    burns,
    contact,
    counters,
    craft,
    findings,
    insertion,
    legs,
    living,
    missions,
    thrusters,
)
from mplan.contract.limits import limits
from mplan.contract.values import Document, at, told, utc
from mplan.flight.arrival.orbits_flown import OrbitFlown
from mplan.flight.steps import interface_of
from mplan.physics import constants as c
from mplan.physics.arcs import nbody
from mplan.physics.arcs.homeward import flight_path_angle
from mplan.physics.arcs.nbody import Arrival
from mplan.physics.bodies import earth
from mplan.physics.bodies.time import utc_from_tdb
from mplan.plan import Plan

FORMAT = "mplan-plan/2"


def as_json(plan: Plan) -> str:
    """Return the plan's document as JSON text, ending in a newline."""
    return json.dumps(document(plan), indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def schema() -> Document:
    """Return the JSON Schema that every document obeys."""
    return json.loads(files("mplan").joinpath("plan.schema.json").read_text("utf-8"))


def document(plan: Plan) -> Document:
    """Return the plan as JSON values."""
    scenario, home = plan.scenario, plan.complete
    return {
        "format": FORMAT,
        "cautions": list(CAUTIONS),
        "made_by": {
            "mplan": mplan.__version__,
            "integrator": nbody.back_ends()[0],
            "ephemeris": "DE421",
        },
        "scenario": missions.mission(scenario),
        "verdict": missions.verdict(plan),
        "ended": plan.flight.ended and asdict(plan.flight.ended),
        "burns": [burns.burn(plan, burn) for burn in plan.every_burn],
        "timeline": [told(plan, moment) for moment in plan.every_moment],
        "findings": [findings.finding(finding) for finding in plan.findings],
        "limits": limits(plan),
        "counters": counters.sheet(plan),
        "contact": contact.log(plan),
        "trajectory": _trajectory(plan),
        "lunar_orbits": [_lunar_orbit(plan, each) for each in plan.flight.lunar_orbits],
        "insertion_fails": insertion.failed(failed_insertion.of(plan.flight)),
        "ascent": legs.ascent(plan),
        "descent": legs.descent(plan),
        "rendezvous": legs.rendezvous(plan),
        "entry": legs.entry(plan),
        "control": [craft.phase(each) for each in phases(plan.flight)],
        "escape": craft.escape(plan),
        "supplies": [craft.supply(use) for use in supplies.used(plan.flight)] if home else [],
        "tanks": [craft.tank(plan.flight, key) for key in plan.flight.start.ledger.levels],
        "thrusters": [thrusters.account(each) for each in accounts(plan.flight)],
        "stores": [craft.store(x, plan) for x in supplies.kept(plan.flight)] if home else [],
        "boil_off": [craft.lost(each) for each in boil_off.lost(plan.flight)],
        "power": [craft.powered(use) for use in power.used(plan.flight)] if home else [],
        "living": living.lived(plan.flight) if home else None,
        "stack": craft.stack(plan),
    }


def _trajectory(plan: Plan) -> Document:
    """Return the states from which anyone can fly the arcs again; null for those not flown."""
    end = plan.flight.end
    out = end.departing and end.departing.outbound
    home, interface = end.homeward, interface_of(end)
    change = end.departing and end.departing.transfer
    return {
        "injection": out and _near_earth(out.injection, out.r, out.v),
        "hybrid_transfer": change and _state(change.t, change.r, change.v),
        "perilune": out and _near_moon(out.perilune),
        "return_departure": home and _state(home.t, home.r, home.v),
        "entry_interface": interface and _near_earth(interface.t, interface.r, interface.v),
    }


def _lunar_orbit(plan: Plan, flown: OrbitFlown) -> Document:
    """Return an orbit about the Moon; heights over its sphere, angles to its equator."""
    found = flown.apsides
    return {
        "event": flown.event,
        "utc": at(plan, flown.elapsed),
        "elapsed_s": flown.elapsed,
        "perilune_km": (found.perilune - c.R_MOON) / 1e3,
        "apolune_km": (found.apolune - c.R_MOON) / 1e3,
        "inclination_deg": found.inclination / c.DEG,
        "argument_of_perilune_deg": None if found.argument is None else found.argument / c.DEG,
    }


def _state(t: float, r: np.ndarray, v: np.ndarray) -> Document:
    return {
        "epoch_utc": utc(utc_from_tdb(t)),
        "frame": "GCRS",
        "position_km": (r / 1e3).tolist(),
        "velocity_km_s": (v / 1e3).tolist(),
    }


def _near_earth(t: float, r: np.ndarray, v: np.ndarray) -> Document:
    return {
        **_state(t, r, v),
        "altitude_km": earth.geodetic(r, t)[2] / 1e3,
        "speed_km_s": float(np.linalg.norm(v)) / 1e3,
        "flight_path_angle_deg": flight_path_angle(r, v) / c.DEG,
    }


def _near_moon(perilune: Arrival) -> Document:
    """Return the state at the Moon: geocentric, but height and speed are the Moon's."""
    r, v = perilune.lunar_r, perilune.lunar_v
    return {
        **_state(perilune.t, perilune.r, perilune.v),
        "altitude_km": (float(np.linalg.norm(r)) - c.R_MOON) / 1e3,
        "speed_km_s": float(np.linalg.norm(v)) / 1e3,
        "flight_path_angle_deg": flight_path_angle(r, v) / c.DEG,
    }
