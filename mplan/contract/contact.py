"""Contact with Earth: passes of stations, silences, what is seen of events, radio links."""

from __future__ import annotations

from mplan.checks import contact
from mplan.checks.contact import LinkCurve, Sighted
from mplan.contract.values import Document, at
from mplan.physics.constants import DEG
from mplan.plan import Plan


def log(plan: Plan) -> Document | None:
    """Return the contact log; null without stations, or where the date is not known."""
    found = contact.of(plan.flight)
    if not found.passes and not found.silences:
        return None
    return {
        "passes": [
            {
                "element": x.element,
                "station": x.station,
                "begin_s": x.begin,
                "end_s": x.end,
                "highest_elevation_deg": x.highest / DEG,
            }
            for x in found.passes
        ],
        "silences": [
            {"element": x.element, "begin_s": x.begin, "end_s": x.end, "why": x.why}
            for x in found.silences
        ],
        "events": [_event(plan, x) for x in found.events],
        "radio_links": [_link(plan, x) for x in found.links],
    }


def _event(plan: Plan, seen: Sighted) -> Document:
    return {
        "event": seen.event,
        "element": seen.element,
        "epoch_utc": at(plan, seen.elapsed),
        "elapsed_s": seen.elapsed,
        "stations": list(seen.stations),
        "why_not": seen.why or None,
        "distance_km": seen.distance / 1e3,
    }


def _link(plan: Plan, curve: LinkCurve) -> Document:
    """Return a link where its margin is least."""
    least = curve.least
    return {
        "element": curve.element,
        "radio": curve.radio,
        "direction": curve.direction,
        "station": curve.station,
        "rate_bit_s": curve.rate,
        "wanted_margin_dB": curve.wanted,
        "least_margin_dB": least.margin,
        "least_margin_utc": at(plan, least.elapsed),
        "least_margin_elapsed_s": least.elapsed,
        "distance_km": least.distance / 1e3,
        "rate_that_keeps_margin_bit_s": least.closing_rate,
    }
