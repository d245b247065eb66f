"""A plan in three lines: when and which way, what awaits at the Moon, where it ends."""

from __future__ import annotations

from mplan.checks.light import sun_at_landing
from mplan.physics.constants import DEG
from mplan.plan import Plan
from mplan.vehicle.stack import on_pad


def lines(plan: Plan) -> list[str]:
    """Return the lines, plain text with units; the last is left out where nothing comes home."""
    found = [_departure(plan), _moon(plan)]
    return [*found, _splash(plan)] if plan.flight.splash else found


def _departure(plan: Plan) -> str:
    stack, out = on_pad(plan.scenario), plan.flight.end.outbound
    azimuth = out.parking.site.azimuth / DEG
    return (
        f"lift-off {_utc(plan, 0.0)} UTC along {azimuth:.1f} deg, "
        f"{stack.mass / 1e3:,.1f} t and {stack.height:.1f} m tall"
    )


def _moon(plan: Plan) -> str:
    arrival = plan.flight.end.outbound.perilune.t - plan.flight.end.lift_off
    sun = sun_at_landing(plan.flight)
    light = "" if sun is None else f"; the Sun at {sun / DEG:.1f} deg at touchdown"
    return f"perilune {_utc(plan, arrival)} UTC{light}"


def _splash(plan: Plan) -> str:
    splash = plan.flight.splash
    latitude, longitude = splash.latitude / DEG, splash.longitude / DEG
    north, east = "N" if latitude >= 0.0 else "S", "E" if longitude >= 0.0 else "W"
    when = _utc(plan, splash.t - plan.flight.end.lift_off)
    place = f"{abs(latitude):.1f} {north} {abs(longitude):.1f} {east}"
    return f"splash {when} UTC near {place} (estimate)"


def _utc(plan: Plan, elapsed: float) -> str:
    return f"{plan.flight.utc(elapsed):%Y-%m-%d %H:%M:%S}"
