"""The counters of a mission, as the document has them: times on the crew's clock."""

from __future__ import annotations

from mplan.checks import counters
from mplan.checks.counters.joints import CrewTransfer, Cycle, Docking, Jettison
from mplan.checks.counters.starts import CountedStart
from mplan.checks.counters.thruster_tanks import ThrusterTanks
from mplan.contract.values import Document, at
from mplan.plan import Plan


def sheet(plan: Plan) -> Document:
    """Return every counter; the ship is that which lifted the element off, null the main one."""
    found = counters.of(plan.flight)
    return {
        "starts": [_start(plan, x) for x in found.starts],
        "thruster_tanks": [_tanks(x) for x in found.thruster_tanks],
        "dockings": [_docking(plan, x) for x in found.dockings],
        "crew_transfers": [_transfer(plan, x) for x in found.crew_transfers],
        "jettisons": [_jettison(plan, x) for x in found.jettisons],
    }


def _start(plan: Plan, lit: CountedStart) -> Document:
    return {
        "ship": lit.ship or None,
        "flown_by": lit.flown_by or None,
        "element": lit.element,
        "engine": lit.engine,
        "for": lit.what,
        "epoch_utc": at(plan, lit.elapsed),
        "elapsed_s": lit.elapsed,
        "first_start": lit.first,
        "last_start": lit.last,
        "starts_qualified": lit.rated.starts,
        "duration_s": lit.seconds,
        "longest_burn_qualified_s": lit.longest,
        "burned_s": lit.burned,
        "qualified_duration_s": lit.rated.qualified_duration,
        "since_cut_off_s": lit.pause,
        "shortest_pause_in_series_s": lit.within,
        "restart_interval_s": lit.rated.restart_interval,
    }


def _tanks(tanks: ThrusterTanks) -> Document:
    return {
        "ship": tanks.ship or None,
        "element": tanks.element,
        "engine": tanks.engine,
        "loaded_kg": tanks.loaded,
        "settling_kg": tanks.settling,
        "attitude_kg": tanks.attitude,
        "docking_and_separation_kg": tanks.docking,
        "burns_kg": tanks.burns,
        "orbit_upkeep_kg": tanks.upkeep,
        "other_kg": tanks.other,
        "left_kg": tanks.left,
        "left_usable_kg": tanks.usable,
    }


def _docking(plan: Plan, each: Docking) -> Document:
    return {
        "event": each.what,
        "flown_by": each.flown_by or None,
        "epoch_utc": at(plan, each.elapsed),
        "elapsed_s": each.elapsed,
        "active": _port(each.active),
        "target": _port(each.target),
    }


def _port(cycle: Cycle) -> Document:
    return {
        "element": cycle.element,
        "ship": cycle.ship or None,
        "docking": cycle.number,
        "dockings_qualified": cycle.qualified,
    }


def _transfer(plan: Plan, each: CrewTransfer) -> Document:
    return {
        "event": each.what,
        "epoch_utc": at(plan, each.elapsed),
        "elapsed_s": each.elapsed,
        "crew": each.crew,
        "origin": each.origin,
        "target": each.target,
    }


def _jettison(plan: Plan, each: Jettison) -> Document:
    return {
        "element": each.element,
        "ship": each.ship or None,
        "epoch_utc": at(plan, each.elapsed),
        "elapsed_s": each.elapsed,
        "mass_kg": each.mass,
    }
