"""A plan as a document for other programs: versioned, with the unit in every name.

`plan.schema.json` beside this file is the contract; `format` changes when a field's meaning does.
What a leg does not work out yet is null, never a guess.
"""

from __future__ import annotations

import json
from datetime import datetime
from importlib.resources import files
from typing import Any

import numpy as np

import mplan
from mplan.checks import supplies as supply_check
from mplan.flight.entry import DOWNRANGE
from mplan.flight.record import BurnRecord, Moment
from mplan.flight.steps import interface_of
from mplan.physics import constants as c
from mplan.physics import earth, nbody
from mplan.physics.homeward import flight_path_angle
from mplan.physics.nbody import Arrival
from mplan.physics.time import utc_from_tdb
from mplan.plan import Plan
from mplan.vehicle.life_support import WASTES, Use
from mplan.vehicle.stack import on_pad

FORMAT = "mplan-plan/1"
Document = dict[str, Any]


def as_json(plan: Plan) -> str:
    """Return the plan's document as JSON text, ending in a newline."""
    return json.dumps(document(plan), indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def schema() -> Document:
    """Return the JSON Schema that every document obeys."""
    return json.loads(files("mplan").joinpath("plan.schema.json").read_text("utf-8"))


def document(plan: Plan) -> Document:
    """Return the plan as JSON values."""
    scenario = plan.scenario
    return {
        "format": FORMAT,
        "made_by": {
            "mplan": mplan.__version__,
            "integrator": nbody.back_ends()[0],
            "ephemeris": "DE421",
        },
        "scenario": {
            "name": scenario.mission.name,
            "profile": scenario.mission.profile,
            "file": scenario.source.name,
            "hash": scenario.hash,
            "changes": [str(change) for change in scenario.changes],
        },
        "verdict": {"closes": plan.closes, "text": plan.verdict},
        "burns": [_burn(plan, burn) for burn in plan.burns],
        "timeline": [_moment(plan, moment) for moment in plan.timeline],
        "findings": [_finding(finding) for finding in plan.findings],
        "trajectory": _trajectory(plan),
        "ascent": _ascent(plan),
        "entry": _entry(plan),
        "supplies": [_supply(use) for use in supply_check.used(plan.flight)],
        "stack": _stack(plan),
    }


def _utc(moment: datetime) -> str:
    return moment.strftime("%Y-%m-%dT%H:%M:%S.%fZ")


def _burn(plan: Plan, burn: BurnRecord) -> Document:
    return {
        "name": burn.name,
        "leg": burn.leg,
        "element": burn.element,
        "engine": burn.engine,
        "epoch_utc": _utc(plan.flight.utc(burn.elapsed)),
        "elapsed_s": burn.elapsed,
        "needed_m_s": burn.needed,
        "available_m_s": burn.available,
        "held_back_m_s": burn.reserve,
        "margin_m_s": None if burn.burns_out else burn.margin,
        "impulse_m_s": burn.impulse,
        "losses_m_s": dict(burn.losses),
        "propellant_kg": burn.propellant,
        "mass_kg": burn.mass,
        "ignition_number": burn.ignition,
        "duration_s": burn.duration,
        "thrust_to_weight": burn.thrust_to_weight,
        "contact": burn.contact or None,
        "estimate": bool(burn.estimate),
        "estimate_from": burn.estimate or None,
    }


def _moment(plan: Plan, moment: Moment) -> Document:
    return {
        "event": moment.event,
        "utc": _utc(plan.flight.utc(moment.elapsed)),
        "elapsed_s": moment.elapsed,
        "mass_kg": moment.mass,
        "attached": list(moment.craft),
        "estimate": moment.estimate,
    }


def _finding(finding) -> Document:  # noqa: ANN001
    return {
        "severity": finding.severity,
        "check": finding.check,
        "event": finding.event,
        "text": finding.text,
        "asked": finding.asked,
        "there": finding.there,
        "source": finding.source,
        "remedies": [
            {"change": x.change, "closes": x.closes, "outcome": x.outcome} for x in finding.remedies
        ],
    }


def _trajectory(plan: Plan) -> Document:
    """Return the states from which anyone can fly the arcs again."""
    end = plan.flight.end
    out, home, interface = end.outbound, end.homeward, interface_of(end)
    return {
        "injection": _near_earth(out.injection, out.r, out.v),
        "perilune": _near_moon(out.perilune),
        "return_departure": home and _state(home.t, home.r, home.v),
        "entry_interface": interface and _near_earth(interface.t, interface.r, interface.v),
    }


def _state(t: float, r: np.ndarray, v: np.ndarray) -> Document:
    return {
        "epoch_utc": _utc(utc_from_tdb(t)),
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


def _ascent(plan: Plan) -> Document:
    climb = [burn for burn in plan.burns if burn.leg == "climb"]
    last = climb[-1]
    return {
        "estimate": True,
        "max_dynamic_pressure_pa": None,
        "max_acceleration_g0": None,
        "losses_m_s": {"all": sum(sum(burn.losses.values()) for burn in climb)},
        "propellant_left_kg": last.usable - last.propellant,
    }


def _entry(plan: Plan) -> Document | None:
    splash = plan.flight.splash
    return splash and {
        "estimate": True,
        "peak_acceleration_g0": None,
        "peak_heating_w_m2": None,
        "downrange_km": DOWNRANGE / 1e3,
        "splash_utc": _utc(utc_from_tdb(splash.t)),
        "latitude_deg": splash.latitude / c.DEG,
        "longitude_deg": splash.longitude / c.DEG,
    }


def _supply(use: Use) -> Document:
    return {
        "element": use.element,
        "supply": use.supply,
        "kind": "waste" if use.supply in WASTES else "consumable",
        "capacity_kg": use.capacity,
        "used_kg": use.used,
        "days_left_at_end": use.days_left,
    }


def _stack(plan: Plan) -> Document:
    stack, pad = on_pad(plan.scenario), plan.scenario.launch_site.pad
    return {
        "height_m": stack.height,
        "height_limit_m": pad.height_limit,
        "width_m": stack.width,
        "width_limit_m": pad.width_limit,
        "mass_kg": stack.mass,
        "mass_limit_kg": pad.mass_limit,
    }
