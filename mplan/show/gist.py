"""A plan in a few lines: when and which way, what awaits at the Moon, how and where it ends."""

from __future__ import annotations

from mplan.checks.light import sun_at_landing
from mplan.contingencies import failed_insertion
from mplan.flight.ascent import kept
from mplan.physics.constants import DEG, G0, MINUTE
from mplan.plan import Plan
from mplan.scenario.figures import decimals
from mplan.scenario.wording import place
from mplan.show import failed_insertions, lunar_orbits, thrusters
from mplan.show.told import Number, Told, joined, told
from mplan.vehicle import pad
from mplan.vehicle.pad import SiteLimit
from mplan.vehicle.stack import on_pad


def lines(plan: Plan) -> list[str]:
    """Return the lines, plain text with units; those of what was not flown are omitted."""
    if not plan.flight.dated:
        return [on_the_pad(plan), *([climb(plan)] if plan.flight.climb else [])]
    found = [departure(plan), on_the_pad(plan), climb(plan), settling(plan)]
    found += [*thrusters.lines(plan), arrival(plan)]
    orbit = lunar_orbits.line(plan)
    found += [orbit] if orbit else []
    failed = failed_insertion.of(plan.flight)
    if failed:
        found.append(failed_insertions.sentence(failed))
    last = (landing(plan), rendezvous(plan), entry(plan), splash(plan))
    return [*found, *filter(None, last)]


def departure(plan: Plan) -> str:
    """Return when and along which azimuth the ship lifts off."""
    launch = plan.flight.end.launch
    along, plane = launch.launch_azimuth / DEG, launch.azimuth / DEG
    form = "lift-off {} UTC along {:.1 deg} over ground, orbit plane {:.1 deg}"
    return told(form, _utc(plan, 0.0), along, plane)


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
    return told("on the pad {}", joined(", ", parts))


def _beside(size: float, unit: str, *limits: tuple[SiteLimit, str]) -> str:
    """Return a size, and in brackets its limits that are stated, each with what sets it.

    Digits are as many as tell the size and every limit apart.
    """
    stated = [(x.limit * x.scale, x.unit, part) for x, part in limits if x.limit is not None]
    digits = max((decimals(limit, size) for limit, _, _ in stated), default=1)
    said = [told(f"{{}} {{:.{digits} {of}}}", part, limit) for limit, of, part in stated]
    beside = told(" ({})", joined(", ", said)) if said else ""
    return Told(Number(size, unit, digits), beside)


def climb(plan: Plan) -> str:
    """Return the climb in one line: its peaks, its losses, what is left, how it was steered."""
    flown = plan.flight.end.climb
    q, a, losses = flown.most_dynamic_pressure, flown.most_acceleration, flown.losses
    peaks = told("max q {:.1 kPa} at {:.0 s}, max {:.1 g}", q.value / 1e3, q.t, a.value / G0)
    left = told("{:.1 t} left at insertion", flown.left / 1e3)
    ends = left if flown.reached else "short of its orbit"
    text = told("climb: {}, losses {:.0 m/s}, {}", peaks, sum(losses.values()), ends)
    steered = kept(flown)
    return told("{}; {}", text, steered) if steered else text


def settling(plan: Plan) -> str:
    """Return what settling takes, and what has boiled off of the stage that leaves for the Moon."""
    spent = sum(burn.settling.propellant for burn in plan.burns if burn.settling)
    leaving = next(burn for burn in plan.burns if burn.leg == "translunar injection")
    form = "settling {:.0 kg}, boil-off {:.2 t} before the injection"
    return told(form, spent, leaving.boiled / 1e3)


def arrival(plan: Plan) -> str:
    """Return when the ship comes to the Moon, and the Sun at touchdown."""
    at = plan.flight.end.outbound.perilune.t - plan.flight.end.lift_off
    sun = sun_at_landing(plan.flight)
    light = "" if sun is None else told("; the Sun at {:.1 deg} at touchdown", sun / DEG)
    azimuth = plan.scenario.orbits.approach_azimuth
    along = "; over the site along {:.1 deg}"
    over = "" if azimuth is None else told(along, azimuth / DEG % 360.0)
    return told("perilune {} UTC{}{}", _utc(plan, at), over, light)


def landing(plan: Plan) -> str:
    """Return what the powered descent takes; "" of a mission that does not land."""
    descent = plan.flight.end.descent
    if descent is None:
        return ""
    form = "landing {:.0 m/s} in {:m:s} min, {:.0 s} of hover left at touchdown"
    return told(form, descent.delta_v, descent.duration, descent.seconds_left)


def rendezvous(plan: Plan) -> str:
    """Return how the ascent meets the ship; "" where it does not."""
    flown = plan.flight.end.rendezvous
    if flown is None:
        return ""
    meeting, ahead = flown.meeting, flown.phase / DEG
    form = "rendezvous: {}, the ship {:.1 deg} ahead at insertion, docked {:.0 min} later; "
    values = (meeting.terms.schedule, ahead, meeting.duration / MINUTE)
    return told(form + "{:.0 burns}", *values, len(flown.burns))


def entry(plan: Plan) -> str:
    """Return loads, heating and parachutes of the entry; "" where none is flown."""
    flown = plan.flight.end.entry
    if flown is None:
        return ""
    heat = (flown.heat.peak / 1e6, flown.heat.upper_peak / 1e6)
    form = "entry at {:.2 deg}: {:.1 g}, {:.1(MW/m2)} to {:.1 MW/m2}"
    text = told(form, flown.angle / DEG, flown.peak_load, *heat)
    down = flown.descent
    if down is None:
        return told("{}, skips out", text)
    at = flown.drogue_time
    form = "{}; drogues after {:m:s}, mains {:m:s} min; touchdown {:.1 m/s}"
    return told(form, text, at, at + down.main_time, down.touchdown)


def splash(plan: Plan) -> str:
    """Return when and where the mission ends in the water; "" where it does not."""
    end = plan.flight.splash
    if end is None:
        return ""
    when = _utc(plan, end.t - plan.flight.end.lift_off)
    guess = " (estimate)" if end.estimate else ""
    return told("splash {} UTC near {:was}{}", when, place(end.latitude, end.longitude), guess)


def _utc(plan: Plan, elapsed: float) -> Told:
    return told("{:%Y-%m-%d %H:%M:%S}", plan.flight.utc(elapsed))
