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
from mplan.checks import boil_off as boil_off_check
from mplan.checks import power as power_check
from mplan.checks import supplies as supply_check
from mplan.checks.aborts import on_tower
from mplan.checks.climb_moment import Moment as Instant
from mplan.checks.phases import Phase, phases
from mplan.flight import lunar_abort
from mplan.flight.entry import Entry, Splash
from mplan.flight.record import BurnRecord, Moment
from mplan.flight.rendezvous import FineBurn
from mplan.flight.settling import Settling
from mplan.flight.steps import interface_of
from mplan.physics import constants as c
from mplan.physics import daylight, earth, nbody
from mplan.physics.homeward import flight_path_angle
from mplan.physics.nbody import Arrival
from mplan.physics.parachutes import Opening
from mplan.physics.rendezvous import Track
from mplan.physics.time import utc_from_tdb
from mplan.plan import Plan
from mplan.vehicle import geometry
from mplan.vehicle.life_support import WASTES, Use
from mplan.vehicle.pieces import Placed
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
        "descent": _descent(plan),
        "rendezvous": _rendezvous(plan),
        "entry": _entry(plan),
        "control": [_phase(phase) for phase in phases(plan.flight)],
        "escape": _escape(plan),
        "supplies": [_supply(use) for use in supply_check.used(plan.flight)],
        "boil_off": [_lost(each) for each in boil_off_check.lost(plan.flight)],
        "power": [_power(use) for use in power_check.used(plan.flight)],
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
        "settling": burn.settling and _settling(burn.settling),
        "estimate": bool(burn.estimate),
        "estimate_from": burn.estimate or None,
    }


def _settling(done: Settling) -> Document:
    """Return how propellant was settled before a burn; null where nothing settles it."""
    return {
        "element": done.element or None,
        "engine": done.engine or None,
        "acceleration_m_s2": done.acceleration,
        "duration_s": done.duration,
        "starts": done.starts,
        "propellant_kg": done.propellant,
        "lacking_kg": done.lacks,
        "bond_number": done.bond,
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


def _descent(plan: Plan) -> Document | None:
    """Return the powered descent, null where none was flown; times are from ignition."""
    descent = plan.flight.end.descent
    abort = lunar_abort.last(plan.flight)
    return descent and {
        "phases": [
            {
                "phase": x.name,
                "begin_s": x.t,
                "duration_s": x.duration,
                "delta_v_m_s": x.delta_v,
                "propellant_kg": x.propellant,
            }
            for x in descent.phases
        ],
        "hover_seconds_left_s": descent.seconds_left,
        "miss_m": descent.miss,
        "touchdown_speed_m_s": descent.speed,
        "last_abort": abort
        and {"elapsed_s": abort.t, "altitude_m": abort.altitude, "margin_m_s": abort.margin},
    }


def _rendezvous(plan: Plan) -> Document | None:
    flown, allowed = plan.flight.end.rendezvous, plan.scenario.rendezvous
    return flown and {
        "schedule": flown.meeting.terms.schedule,
        "revolutions": flown.meeting.terms.revolutions,
        "insertion_utc": _utc(utc_from_tdb(flown.meeting.active.t)),
        "contact_utc": _utc(utc_from_tdb(flown.meeting.docked)),
        "duration_s": flown.meeting.duration,
        "ship_ahead_deg": flown.phase / c.DEG,
        "ship_ahead_wanted_deg": flown.wanted / c.DEG,
        "does_not_fit": flown.misfit or None,
        "midcourse_allowed_m_s": allowed.midcourse,
        "docking_allowed_m_s": allowed.docking,
        "lowest_perilune_km": (flown.meeting.lowest - c.R_MOON) / 1e3,
        "burns": [_fine_burn(plan, burn) for burn in flown.burns],
        "track": _relative_track(flown.meeting.track),
    }


def _fine_burn(plan: Plan, burn: FineBurn) -> Document:
    return {
        "name": burn.name,
        "epoch_utc": _utc(plan.flight.utc(burn.elapsed)),
        "elapsed_s": burn.elapsed,
        "delta_v_m_s": burn.delta_v,
        "duration_s": burn.duration,
        "propellant_kg": burn.propellant,
        "engine": burn.engine,
        "range_km": burn.range / 1e3,
        "elevation_deg": burn.elevation / c.DEG,
        "contact": burn.contact,
    }


def _relative_track(track: Track) -> Document:
    return {
        "after_insertion_s": track.t.round(3).tolist(),
        "ahead_km": (track.along / 1e3).round(6).tolist(),
        "above_km": (track.height / 1e3).round(6).tolist(),
        "across_km": (track.across / 1e3).round(6).tolist(),
        "range_km": (track.range / 1e3).round(6).tolist(),
    }


def _entry(plan: Plan) -> Document | None:
    splash, entry = plan.flight.splash, plan.flight.end.entry
    return splash and {
        "estimate": bool(splash.estimate),
        "estimate_from": splash.estimate or None,
        **(_flown_entry(entry) if entry else dict.fromkeys(_FLOWN_ENTRY)),
        "downrange_km": splash.downrange / 1e3,
        "splash_utc": _utc(utc_from_tdb(splash.t)),
        "latitude_deg": splash.latitude / c.DEG,
        "longitude_deg": splash.longitude / c.DEG,
        "light": _light(splash, splash.t),
    }


def _light(splash: Splash, t: float) -> Document:
    """Return the light where the crew comes down, at `t` [TDB s]."""
    there = daylight.at(splash.latitude, splash.longitude, t)
    return {
        "light": there.word,
        "sun_elevation_deg": there.sun / c.DEG,
        "local_solar_time_h": there.solar_time / c.HOUR,
    }


_FLOWN_ENTRY = (
    "ballistic_coefficient_kg_m2",
    "lift_to_drag",
    "bank_deg",
    "peak_acceleration_g0",
    "peak_heating_w_m2",
    "heat_load_j_m2",
    "shield",
    "corridor",
    "drogues",
    "mains",
    "light_at_drogues",
    "touchdown_speed_m_s",
    "touchdown_speed_one_main_failed_m_s",
)


def _flown_entry(entry: Entry) -> Document:
    down, one_less = entry.descent, entry.one_main_less
    openings = entry.drogue_time, entry.drogue_time + (down.main_time if down else 0.0)
    values = (
        entry.vehicle.ballistic,
        entry.vehicle.lift_to_drag,
        entry.bank / c.DEG,
        entry.peak_load,
        entry.peak_heating,
        entry.heat_load,
        _shield(entry),
        {"steep_deg": entry.corridor.steep / c.DEG, "shallow_deg": entry.corridor.shallow / c.DEG},
        down and _opening(entry.t + openings[0], down.drogue_opening),
        down and _opening(entry.t + openings[1], down.main_opening),
        down and _light(entry.splash, entry.t + openings[0]),
        down and down.touchdown,
        one_less and one_less.touchdown,
    )
    return dict(zip(_FLOWN_ENTRY, values, strict=True))


def _shield(entry: Entry) -> Document | None:
    """Return what may ablate at the nose and what the heat load takes; null is not stated."""
    shell, needed = entry.aeroshell, entry.shield_needed
    if shell.shield_areal_mass is None and needed is None:
        return None
    return {
        "areal_mass_kg_m2": shell.shield_areal_mass,
        "effective_heat_j_kg": shell.effective_heat,
        "ablated_kg_m2": needed,
        "mass_bound_kg": entry.shield_mass,
    }


def _opening(t: float, opening: Opening) -> Document:
    return {
        "utc": _utc(utc_from_tdb(t)),
        "altitude_km": opening.altitude / 1e3,
        "speed_m_s": opening.speed,
        "dynamic_pressure_pa": opening.pressure,
        "mach": opening.mach,
        "opening_load_g0": opening.load,
    }


def _phase(phase: Phase) -> Document:
    """Return who steers in a phase and how briskly; null is not worked out."""
    return {
        "phase": phase.name,
        "begin_s": phase.begin,
        "end_s": phase.end,
        "attached": list(phase.craft),
        "mass_begin_kg": phase.mass,
        "mass_end_kg": phase.mass_at_end,
        "controller": phase.controller,
        "capacity_kg": phase.capacity,
        "steered_from_s": phase.steered_from,
        "pitch_deg_s2": None if phase.pitch is None else phase.pitch / c.DEG,
        "roll_deg_s2": None if phase.roll is None else phase.roll / c.DEG,
        "push_m_s2": phase.first.push,
        "turned_by": phase.first.source or None,
    }


def _escape(plan: Plan) -> Document | None:
    """Return an escape from the pad; null where no tower is described."""
    escaped = on_tower(Instant(plan.flight, None))
    if escaped is None:
        return None
    shock = escaped.caught
    return {
        "estimate": True,
        "thrust_to_weight": escaped.tower.thrust_to_weight,
        "apogee_m": escaped.apogee,
        "aside_at_apogee_m": escaped.rows[-1].along,
        "tnt_equivalent_kg": escaped.tnt,
        "overpressure_pa": shock and shock.overpressure,
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


def _lost(each: boil_off_check.Lost) -> Document:
    return {
        "element": each.element,
        "lost_kg": each.total,
        "lost_before_last_burn_kg": each.before_last_burn,
        "tanks_kg": each.by_tank,
    }


def _power(use: power_check.Use) -> Document:
    kwh = power_check.KWH
    return {
        "element": use.element,
        "in_use_h": use.time / c.HOUR,
        "stored_kwh": use.stored / kwh,
        "load_kwh": use.used / kwh,
        "supplied_kwh": use.supplied / kwh,
        "drawn_kwh": use.drawn / kwh,
        "lacking_kwh": use.lacking / kwh,
        "left_kwh": use.left / kwh,
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
        "footprint_m": stack.footprint,
        "footprint_limit_m": pad.footprint_limit,
        "element_limit": pad.element_limit,
        "clamp_height_m": pad.clamp_height,
        "elements": [_standing(each) for each in geometry.standing(plan.scenario)],
    }


def _standing(each: geometry.Standing) -> Document:
    return {
        "element": each.name,
        "inside": each.element.inside,
        "beside": each.element.beside,
        "bodies": each.element.bodies,
        "bottom_m": each.bottom,
        "length_m": each.layout.length,
        "diameter_m": each.element.diameter,
        "pieces": [
            {
                "piece": piece.name,
                "kind": piece.kind,
                "bottom_m": each.bottom + piece.bottom,
                "length_m": piece.length,
                "diameter_m": piece.diameter,
            }
            for piece in each.layout.pieces
        ],
        "tanks": [_tank(placed) for placed in each.layout.tanks],
    }


def _tank(placed: Placed) -> Document:
    """Return what stands for one tank, or for several equal ones."""
    return {
        "tank": placed.tank,
        "propellant": placed.propellant,
        "load_kg": placed.load,
        "count": placed.count,
        "volume_each_m3": placed.vessel.volume,
        "diameter_m": placed.vessel.diameter,
        "dome_m": placed.vessel.dome,
        "cylinder_m": placed.vessel.cylinder,
    }
