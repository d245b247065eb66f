"""The craft: its control, how the crew gets out, what it holds and how it stands on the pad."""

from __future__ import annotations

from mplan.checks import boil_off, power
from mplan.checks.phases import Phase
from mplan.contingencies.climb_point import ClimbPoint
from mplan.contingencies.tower_escape import escape_from
from mplan.contract.values import Document
from mplan.flight.record import Flight
from mplan.physics import constants as c
from mplan.plan import Plan
from mplan.vehicle import geometry, pad
from mplan.vehicle.control.authority import Authority
from mplan.vehicle.control.contribution import Axis, Contribution
from mplan.vehicle.ledger import Key
from mplan.vehicle.living.account import balance
from mplan.vehicle.living.life_support import WASTES, SupplyUse
from mplan.vehicle.pieces import Placed
from mplan.vehicle.stack import on_pad


def phase(flown: Phase) -> Document:
    """Return a phase with the control authority at its moments; null is not worked out."""
    return {
        "phase": flown.name,
        "begin_s": flown.begin,
        "end_s": flown.end,
        "attached": list(flown.craft),
        "mass_begin_kg": flown.mass,
        "mass_end_kg": flown.mass_at_end,
        "controller": flown.controller,
        "estimate": True,
        "moments": [_authority(each) for each in flown.moments],
    }


def _authority(at: Authority) -> Document:
    return {
        "when": at.when,
        "elapsed_s": at.t,
        "mass_kg": at.mass,
        "pitch": _axis(at, "pitch"),
        "roll": _axis(at, "roll"),
        "margin_factor": at.factor,
        "push_required_m_s2": at.push_required,
        "push_available_m_s2": at.push,
    }


def _axis(at: Authority, axis: Axis) -> Document:
    available = at.available(axis)
    return {
        "required_deg_s2": at.required(axis) / c.DEG,
        "available_deg_s2": None if available is None else available / c.DEG,
        "required_by_deg_s2": _by_cause(at.demands, axis),
        "available_by_deg_s2": _by_cause(at.supplies, axis),
    }


def _by_cause(found: tuple[Contribution, ...], axis: Axis) -> dict[str, float]:
    return {each.cause: getattr(each, axis) / c.DEG for each in found}


def escape(plan: Plan) -> Document | None:
    """Return an escape from the pad; null where no tower is described."""
    escaped = escape_from(ClimbPoint(plan.flight, None))
    if escaped is None:
        return None
    shock = escaped.overtaken
    return {
        "estimate": True,
        "thrust_to_weight": escaped.tower.thrust_to_weight,
        "apogee_m": escaped.apogee,
        "aside_at_apogee_m": escaped.rows[-1].along,
        "tnt_equivalent_kg": escaped.tnt,
        "overpressure_pa": shock and shock.overpressure,
    }


def supply(use: SupplyUse) -> Document:
    """Return what is carried for people, or storage, and how long it lasts; null is unlimited."""
    return {
        "element": use.element,
        "supply": use.supply,
        "kind": "waste" if use.supply in WASTES else "consumable",
        "capacity_kg": use.capacity,
        "used_kg": use.used,
        "days_left_at_end": use.days_left,
        "ran_out_s": use.ran_out,
        "basis": use.basis,
        "note": use.note or None,
    }


def tank(flight: Flight, key: Key) -> Document:
    """Return what a tank was loaded with, of it what no engine can draw, and what stays unused."""
    full, end = flight.start.ledger, flight.end.ledger
    return {
        "element": key[0],
        "tank": key[1],
        "load_kg": full.levels[key],
        "residuals_kg": full.unusable[key],
        "received_kg": end.received.get(key, 0.0),
        "lost_in_transfer_kg": end.spilt.get(key, 0.0),
        "left_usable_kg": max(0.0, end.levels[key] - end.unusable[key]),
    }


def store(name: str, plan: Plan) -> Document:
    """Return the balance of what people live on in an element, with its fuel cells' reactants."""
    account = plan.flight.end.ledger.account(name)
    closed = balance(plan.scenario.elements[name], account)
    return {
        "element": name,
        "carried_kg": closed.carried,
        "received_kg": closed.received,
        "lacking_kg": closed.lacking,
        "unused_kg": closed.unused,
        "kept_as_waste_kg": dict(account.kept),
        "overboard_kg": dict(account.overboard),
        "passed_on_kg": closed.passed_on,
        "aboard_at_end_kg": closed.aboard,
    }


def lost(each: boil_off.Lost) -> Document:
    """Return what boiled off in an element, tank by tank."""
    return {
        "element": each.element,
        "lost_kg": each.total,
        "lost_before_last_burn_kg": each.before_last_burn,
        "tanks_kg": each.by_tank,
    }


def powered(use: power.PowerUse) -> Document:
    """Return the electric energy an element has, gets and uses."""
    kwh = power.KWH
    return {
        "element": use.element,
        "in_use_h": use.time / c.HOUR,
        "on_standby_h": use.standby / c.HOUR,
        "stored_kwh": use.stored / kwh,
        "load_kwh": use.used / kwh,
        "supplied_kwh": use.supplied / kwh,
        "drawn_kwh": use.drawn / kwh,
        "lacking_kwh": use.lacking / kwh,
        "lacking_on_standby_kwh": use.missed / kwh,
        "left_kwh": use.left / kwh,
        "days_left_at_end": use.days_left,
    }


def stack(plan: Plan) -> Document:
    """Return the stack piece by piece, and what the launch site allows; null is not stated."""
    whole, site = on_pad(plan.scenario), plan.scenario.launch_site.pad
    return {
        "height_m": whole.height,
        "width_m": whole.width,
        "mass_kg": whole.mass,
        "foot_width_m": whole.foot,
        "highest_connection_m": pad.highest_connection(plan.scenario),
        "lift_off_thrust_n": pad.lift_off_thrust(plan.scenario),
        "limits": {
            "door_height_m": site.door_height,
            "door_width_m": site.door_width,
            "hook_height_m": site.hook_height,
            "platform_load_kg": site.platform_load,
            "umbilical_reach_m": site.umbilical_reach,
            "deflector_thrust_n": site.deflector_thrust,
            "foot_width_m": site.foot_width,
            "post_height_m": site.post_height,
        },
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
