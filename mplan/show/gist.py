"""A plan in a few lines: when and which way, what awaits at the Moon, how and where it ends."""

from __future__ import annotations

from mplan.checks.light import sun_at_landing
from mplan.contingencies import failed_insertion
from mplan.flight.ascent import kept
from mplan.flight.entry import Entry, Splash
from mplan.flight.rendezvous import Rendezvous
from mplan.physics.constants import DEG, G0, MINUTE
from mplan.physics.landing.descent import DescentFlight
from mplan.plan import Plan
from mplan.scenario.figures import decimals
from mplan.scenario.wording import place
from mplan.show import failed_insertions, lunar_orbits, thrusters
from mplan.show.columns import minutes
from mplan.vehicle import pad
from mplan.vehicle.pad import SiteLimit
from mplan.vehicle.stack import on_pad


def lines(plan: Plan) -> list[str]:
    """Return the lines, plain text with units; those of what was not flown are omitted."""
    if not plan.flight.dated:
        return [on_the_pad(plan), *([climb(plan)] if plan.flight.climb else [])]
    found = [departure(plan), on_the_pad(plan), climb(plan), settling(plan)]
    found += [*thrusters.lines(plan), _moon(plan)]
    orbit = lunar_orbits.line(plan)
    found += [orbit] if orbit else []
    failed = failed_insertion.of(plan.flight)
    if failed:
        found.append(failed_insertions.sentence(failed))
    if plan.flight.end.descent:
        found.append(_landing(plan.flight.end.descent))
    if plan.flight.end.rendezvous:
        found.append(_rendezvous(plan.flight.end.rendezvous))
    if plan.flight.end.entry:
        found.append(_entry(plan.flight.end.entry))
    splash = plan.flight.splash
    return found if splash is None else [*found, _splash(plan, splash)]


def departure(plan: Plan) -> str:
    """Return when and along which azimuth the ship lifts off."""
    launch = plan.flight.end.launch
    along, plane = launch.launch_azimuth / DEG, launch.azimuth / DEG
    return (
        f"lift-off {_utc(plan, 0.0)} UTC along {along:.1f} deg over ground, "
        f"orbit plane {plane:.1f} deg"
    )


def on_the_pad(plan: Plan) -> str:
    """Return mass, height and width; the door counts the hold-down posts, the crane does not."""
    stack, posts = on_pad(plan.scenario), plan.scenario.launch_site.pad.post_height
    limits = {each.key: each for each in pad.limits(plan.scenario)}
    door, crane = (limits["door_height"], "door"), (limits["hook_height"], "crane")
    parts = [_beside(stack.mass / 1e3, "t", (limits["platform_load"], "platform"))]
    if posts:
        parts.append(_beside(stack.height, "m tall", crane))
        parts.append(_beside(stack.height + posts, "m on its posts", door))
    else:
        parts.append(_beside(stack.height, "m tall", door, crane))
    parts.append(_beside(stack.width, "m wide", (limits["door_width"], "door")))
    return f"on the pad {', '.join(parts)}"


def _beside(size: float, unit: str, *limits: tuple[SiteLimit, str]) -> str:
    """Return a size, and in brackets its limits that are stated, each with what sets it.

    Digits are as many as tell the size and every limit apart.
    """
    stated = [(x.limit * x.scale, x.unit, part) for x, part in limits if x.limit is not None]
    digits = max((decimals(limit, size) for limit, _, _ in stated), default=1)
    told = [f"{part} {limit:,.{digits}f} {of}" for limit, of, part in stated]
    return f"{size:,.{digits}f} {unit}" + (f" ({', '.join(told)})" if told else "")


def climb(plan: Plan) -> str:
    """Return the climb in one line: its peaks, its losses, what is left, how it was steered."""
    flown = plan.flight.end.climb
    q, a, losses = flown.most_dynamic_pressure, flown.most_acceleration, flown.losses
    text = f"climb: max q {q.value / 1e3:.1f} kPa at {q.t:.0f} s, max {a.value / G0:.1f} g"
    text += f", losses {sum(losses.values()):,.0f} m/s, "
    text += f"{flown.left / 1e3:.1f} t left at insertion" if flown.reached else "short of its orbit"
    steered = kept(flown)
    return f"{text}; {steered}" if steered else text


def settling(plan: Plan) -> str:
    """Return what settling takes, and what has boiled off of the stage that leaves for the Moon."""
    spent = sum(burn.settling.propellant for burn in plan.burns if burn.settling)
    leaving = next(burn for burn in plan.burns if burn.leg == "translunar injection")
    return f"settling {spent:.0f} kg, boil-off {leaving.boiled / 1e3:.2f} t before the injection"


def _moon(plan: Plan) -> str:
    arrival = plan.flight.end.outbound.perilune.t - plan.flight.end.lift_off
    sun = sun_at_landing(plan.flight)
    light = "" if sun is None else f"; the Sun at {sun / DEG:.1f} deg at touchdown"
    azimuth = plan.scenario.orbits.approach_azimuth
    over = "" if azimuth is None else f"; over the site along {azimuth / DEG % 360.0:.1f} deg"
    return f"perilune {_utc(plan, arrival)} UTC{over}{light}"


def _landing(descent: DescentFlight) -> str:
    return (
        f"landing {descent.delta_v:,.0f} m/s in {minutes(descent.duration)} min, "
        f"{descent.seconds_left:.0f} s of hover left at touchdown"
    )


def _rendezvous(flown: Rendezvous) -> str:
    meeting, ahead = flown.meeting, flown.phase / DEG
    return (
        f"rendezvous: {meeting.terms.schedule}, the ship {ahead:.1f} deg ahead at insertion, "
        f"docked {meeting.duration / MINUTE:.0f} min later; {len(flown.burns)} burns"
    )


def _entry(entry: Entry) -> str:
    text = f"entry at {entry.angle / DEG:.2f} deg: {entry.peak_load:.1f} g"
    text += f", {entry.heat.peak / 1e6:.1f} to {entry.heat.upper_peak / 1e6:.1f} MW/m2"
    down = entry.descent
    if down is None:
        return f"{text}, skips out"
    at = entry.drogue_time
    opening = f"drogues after {minutes(at)}, mains {minutes(at + down.main_time)}"
    return f"{text}; {opening} min; touchdown {down.touchdown:.1f} m/s"


def _splash(plan: Plan, splash: Splash) -> str:
    when = _utc(plan, splash.t - plan.flight.end.lift_off)
    there = place(splash.latitude, splash.longitude)
    return f"splash {when} UTC near {there}{' (estimate)' if splash.estimate else ''}"


def _utc(plan: Plan, elapsed: float) -> str:
    return f"{plan.flight.utc(elapsed):%Y-%m-%d %H:%M:%S}"
