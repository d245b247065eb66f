"""The stay on the Moon, or in orbit about it on a mission that does not land."""

from __future__ import annotations

from dataclasses import replace

from mplan.flight.state import State
from mplan.scenario import StayEvent
from mplan.scenario.stated import stated
from mplan.vehicle.stack import crew_module, payload_home


def stay(state: State, event: StayEvent) -> State:
    """Return the state after the stay: the ship has gone on round, samples are aboard."""
    mission = state.scenario.mission
    landed = bool(state.landed)
    stay, key = (
        (mission.surface_stay, "surface_stay")
        if landed
        else (mission.lunar_orbit_stay, "lunar_orbit_stay")
    )
    duration = event.duration or stated(stay, f"mission.{key}")
    cargo = dict(state.cargo)
    if not landed:
        cargo.clear()  # what was to be left in lunar orbit has been
    if mission.payload_up:
        carrier = payload_home(state.scenario)
        cargo[carrier] = cargo.get(carrier, 0.0) + mission.payload_up
    return replace(state.later(duration), cargo=cargo)


def samples_across(state: State) -> State:
    """Return the state with what the ascent stage brought up stowed in the crew module."""
    up, home = payload_home(state.scenario), crew_module(state.scenario)
    cargo = dict(state.cargo)
    cargo[home] = cargo.get(home, 0.0) + cargo.pop(up, 0.0)
    return replace(state, cargo=cargo)
