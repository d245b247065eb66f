"""The legs that a vehicle flies near the ground: climb, descent, rendezvous, entry."""

from __future__ import annotations

from mplan.contingencies import descent_aborts
from mplan.contract.values import Document, utc
from mplan.flight.ended import footprints
from mplan.flight.entry import Entry, Splash
from mplan.flight.rendezvous import FineBurn
from mplan.flight.through_air.limits import which_peak
from mplan.physics import constants as c
from mplan.physics.arcs.parking import Site
from mplan.physics.bodies import daylight
from mplan.physics.bodies.downrange import wrapped
from mplan.physics.bodies.time import utc_from_tdb
from mplan.physics.climb.impact import Footprint, Impact
from mplan.physics.climb.launch_vehicle import Launch
from mplan.physics.climb.track import ClimbMark
from mplan.physics.climb.weather import Weather
from mplan.physics.entry import heating
from mplan.physics.entry.parachutes import Opening
from mplan.physics.rendezvous.meeting import RelativeTrack
from mplan.plan import Plan


def ascent(plan: Plan) -> Document | None:
    """Return the climb to the parking orbit; `reaches_orbit` by what it carries, else why not.

    Null where nothing was flown.
    """
    climb = plan.flight.climb
    if climb is None:
        return None
    q, load = climb.most_dynamic_pressure, climb.most_acceleration
    bending = climb.most_load
    return {
        "estimate": False,
        "steering": "optimised" if climb.optimised else "kept",
        "reaches_orbit": climb.reached,
        "why_not": climb.trouble or None,
        **_ways(plan.flight.end.launch if plan.flight.dated else climb.launch),
        "duration_s": climb.duration,
        "ideal_velocity_m_s": climb.ideal,
        "losses_m_s": climb.losses,
        "max_dynamic_pressure_pa": q.value,
        "max_dynamic_pressure_elapsed_s": q.t,
        "max_dynamic_pressure_times_attack_pa_rad": bending.value,
        "max_dynamic_pressure_times_attack_elapsed_s": bending.t,
        **_weather(climb.launch.weather),
        "max_acceleration_g0": load.value / c.G0,
        "max_acceleration_elapsed_s": load.t,
        "propellant_left_kg": climb.left,
        "events": [_mark(mark) for mark in climb.track.events],
        "impacts": [_footprint(plan, found) for found in footprints(plan.flight)],
        "comes_down": climb.fallen and _impact(plan, climb.fallen),
    }


def _ways(launch: Launch | Site) -> Document:
    """Return which way the pad is left, over ground, and the plane that this leads to."""
    return {
        "launch_azimuth_deg": launch.launch_azimuth / c.DEG,
        "plane_azimuth_deg": launch.azimuth / c.DEG,
        "inclination_deg": launch.inclination / c.DEG,
    }


def _weather(flown: Weather) -> Document:
    """Return the air and the wind that were flown through."""
    return {
        "day": flown.day.name,
        "temperature_offset_k": flown.day.warmer,
        "wind": bool(flown.wind),
    }


def _mark(mark: ClimbMark) -> Document:
    return {
        "event": mark.what,
        "of": mark.name,
        "elapsed_s": mark.t,
        "altitude_km": mark.altitude / 1e3,
        "inertial_speed_m_s": mark.speed,
        "ground_speed_m_s": mark.airspeed,
        "flight_path_angle_deg": mark.flight_path_angle / c.DEG,
        "downrange_deg": mark.downrange / c.DEG,
        "mass_kg": mark.mass,
    }


def _footprint(plan: Plan, found: Footprint) -> Document:
    """Return where something comes down, and the ellipse of three standard deviations."""
    ellipse = found.ellipse
    return {
        **_impact(plan, found.impact),
        "estimate": True,
        "ballistic_coefficient_kg_m2": found.body.ballistic if found.body.drag_area else None,
        "speed_m_s": found.speed,
        "ellipse": ellipse
        and {
            "semi_major_km": ellipse.major / 1e3,
            "semi_minor_km": ellipse.minor / 1e3,
            "azimuth_deg": ellipse.azimuth / c.DEG,
        },
    }


def _impact(plan: Plan, fall: Impact) -> Document:
    """Return where something comes down; the longitude east, geocentric latitude."""
    east = plan.scenario.launch_site.longitude + fall.east
    return {
        "of": fall.name,
        "elapsed_s": fall.t,
        "latitude_deg": fall.latitude / c.DEG,
        "longitude_deg": wrapped(east) / c.DEG,
        "downrange_km": fall.range * c.R_EARTH / 1e3,
    }


def descent(plan: Plan) -> Document | None:
    """Return the powered descent, null where none was flown; times are from ignition."""
    descent = plan.flight.end.descent
    if descent is None:
        return None
    abort = descent_aborts.last_by_ascent_stage(plan.flight)
    return {
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


def rendezvous(plan: Plan) -> Document | None:
    """Return the rendezvous burn by burn, null where none was flown."""
    flown, allowed = plan.flight.end.rendezvous, plan.scenario.rendezvous
    if flown is None:
        return None
    return {
        "schedule": flown.meeting.terms.schedule,
        "revolutions": flown.meeting.terms.revolutions,
        "insertion_utc": utc(utc_from_tdb(flown.meeting.active.t)),
        "contact_utc": utc(utc_from_tdb(flown.meeting.docked)),
        "duration_s": flown.meeting.duration,
        "ship_ahead_deg": flown.phase / c.DEG,
        "ship_ahead_wanted_deg": flown.planned / c.DEG,
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
        "epoch_utc": utc(plan.flight.utc(burn.elapsed)),
        "elapsed_s": burn.elapsed,
        "delta_v_m_s": burn.delta_v,
        "duration_s": burn.duration,
        "propellant_kg": burn.propellant,
        "engine": burn.engine,
        "range_km": burn.range / 1e3,
        "elevation_deg": burn.elevation / c.DEG,
        "contact": burn.contact,
    }


def _relative_track(track: RelativeTrack) -> Document:
    return {
        "after_insertion_s": track.t.round(3).tolist(),
        "ahead_km": (track.along / 1e3).round(6).tolist(),
        "above_km": (track.height / 1e3).round(6).tolist(),
        "across_km": (track.across / 1e3).round(6).tolist(),
        "range_km": (track.range / 1e3).round(6).tolist(),
    }


def entry(plan: Plan) -> Document | None:
    """Return the way through the air, null where nothing comes home."""
    splash, entry = plan.flight.splash, plan.flight.end.entry
    return splash and {
        "estimate": bool(splash.estimate),
        "estimate_from": splash.estimate or None,
        **(_flown_entry(entry) if entry else dict.fromkeys(_FLOWN_ENTRY)),
        "downrange_km": splash.downrange / 1e3,
        "splash_utc": utc(utc_from_tdb(splash.t)),
        "latitude_deg": splash.latitude / c.DEG,
        "longitude_deg": splash.longitude / c.DEG,
        "light": _light(splash, splash.t),
    }


def _light(splash: Splash, t: float) -> Document:
    """Return the light where the crew comes down, at `t` [TDB s]."""
    there = daylight.light_at(splash.latitude, splash.longitude, t)
    return {
        "light": there.word,
        "sun_elevation_deg": there.sun / c.DEG,
        "local_solar_time_h": there.solar_time / c.HOUR,
    }


_FLOWN_ENTRY = (
    "ballistic_coefficient_kg_m2",
    "lift_to_drag",
    "bank_deg",
    "bank_reversals_s",
    "off_place_km",
    "peak_acceleration_g0",
    "peak_acceleration_when",
    "effective_nose_radius_m",
    "peak_heating_w_m2",
    "peak_heating_upper_w_m2",
    "heat_load_j_m2",
    "heat_load_upper_j_m2",
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
        list(entry.flown.reversals),
        entry.miss / 1e3 if entry.lands else None,
        entry.peak_load,
        which_peak(entry.flown),
        entry.nose_radius,
        entry.heat.peak,
        entry.heat.upper_peak,
        entry.heat.load,
        entry.heat.upper_load,
        _shield(entry),
        _corridor(entry),
        down and _opening(entry.t + openings[0], down.drogue_opening),
        down and _opening(entry.t + openings[1], down.main_opening),
        down and _light(entry.splash, entry.t + openings[0]),
        down and down.touchdown,
        one_less and one_less.touchdown,
    )
    return dict(zip(_FLOWN_ENTRY, values, strict=True))


def _corridor(entry: Entry) -> Document:
    """Return the edges of the corridor and what sets each."""
    return {
        "steep_deg": entry.corridor.steep / c.DEG,
        "steep_limit": f"{entry.limit / c.G0:g} g with all lift up",
        "shallow_deg": entry.corridor.shallow / c.DEG,
        "shallow_limit": "skip-out with all lift down",
    }


def _shield(entry: Entry) -> Document | None:
    """Return what may ablate at the nose and what the heat load takes; null is not stated."""
    shell, required = entry.aeroshell, entry.shield_required
    heat = shell.effective_heat
    if shell.shield_areal_mass is None and required is None:
        return None
    return {
        "areal_mass_kg_m2": shell.shield_areal_mass,
        "effective_heat_j_kg": heat,
        "ablated_kg_m2": heat and heating.ablated(entry.heat.load, heat),
        "required_kg_m2": required,
        "mass_bound_kg": entry.shield_mass,
    }


def _opening(t: float, opening: Opening) -> Document:
    return {
        "utc": utc(utc_from_tdb(t)),
        "altitude_km": opening.altitude / 1e3,
        "speed_m_s": opening.speed,
        "dynamic_pressure_pa": opening.pressure,
        "mach": opening.mach,
        "opening_load_g0": opening.load,
    }
