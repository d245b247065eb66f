"""What people live on beyond the plan, state of charge, loads, heat and dose, as JSON values."""

from __future__ import annotations

from mplan.checks import living, power_and_heat, radiation
from mplan.checks.power import KWH
from mplan.contract.values import Document
from mplan.flight.record import Flight
from mplan.physics import constants as c

MSV = 1e-3  # Sv


def lived(flight: Flight) -> Document:
    """Return all of it for a flight that comes home; lists are empty where nothing is stated."""
    kept, limit = flight.scenario.contingency, flight.scenario.radiation
    return {
        "contingency_d": kept and kept.time / c.DAY,
        "outlook": [_outlook(each) for each in living.outlooks(flight)],
        "carbon_dioxide": [_air(each) for each in living.co2_curves(flight)],
        "charge": [_charge(each) for each in power_and_heat.charge_curves(flight)],
        "loads": [_load(each) for each in power_and_heat.load_rows(flight)],
        "heat": [_heat(each) for each in power_and_heat.heat_balances(flight)],
        "dose_limit_msv": limit and limit.dose_limit / MSV,
        "doses": [_dose(each) for each in radiation.doses(flight)],
    }


def _outlook(each: living.Outlook) -> Document:
    return {
        "element": each.element,
        "people": each.crew,
        "runs_out_first": each.use.supply,
        "days_beyond_plan": each.days,
        "gone_s": each.until,
    }


def _air(each: living.Co2Curve) -> Document:
    most, when = each.most
    return {
        "element": each.element,
        "estimate": True,
        "most_pa": most,
        "most_at_s": when,
        "limit_pa": each.limit,
        "beyond_limit_from_s": each.beyond,
    }


def _charge(each: power_and_heat.ChargeCurve) -> Document:
    least, when = each.least
    return {
        "element": each.element,
        "stored_kwh": each.stored / KWH,
        "least_kwh": least / KWH,
        "least_at_s": when,
        "floor_kwh": each.floor / KWH,
        "left_at_end_kwh": float(each.left[-1]) / KWH,
        "lacking_kwh": each.lacking / KWH,
    }


def _load(each: power_and_heat.LoadRow) -> Document:
    return {
        "phase": each.phase,
        "element": each.element,
        "standby": each.standby,
        "duration_h": each.duration / c.HOUR,
        "load_w": each.load,
        "own_supply_w": each.supply,
    }


def _heat(each: power_and_heat.HeatBalance) -> Document:
    return {
        "cabin": each.cabin,
        "phase": each.phase,
        "estimate": True,
        "electric_w": each.electric,
        "people_w": each.people,
        "absorbed_w": each.absorbed,
        "rejected_w": each.rejected,
        "margin_w": each.margin,
    }


def _dose(each: radiation.CrewDose) -> Document:
    return {
        "who": each.who,
        "people": each.crew,
        "estimate": True,
        "usual_msv": each.usual / MSV,
        "least_msv": each.least / MSV,
        "most_msv": each.most / MSV,
        "parts": [
            {
                "where": part.where,
                "time_h": part.time / c.HOUR,
                "usual_msv": part.usual / MSV,
                "least_msv": part.least / MSV,
                "most_msv": part.most / MSV,
                "source": part.source,
            }
            for part in each.parts
        ],
    }
