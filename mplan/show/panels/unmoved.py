"""Why a move changes nothing that is said: a reason in the flight, else where it is felt."""

from __future__ import annotations

from mplan.physics.constants import MINUTE
from mplan.plan import Plan
from mplan.show import changed
from mplan.show.panels.knobs import Choice, Knob

PRESSURE, ACCELERATION = "climb.pressure_limit", "climb.acceleration_limit"
WAITING = {  # the burn that waits for its place, by the key that says from when on
    "mission.surface_stay": (
        "lunar ascent",
        "lift-off from the Moon waits for the ship's next pass",
    ),
    "mission.lunar_orbit_stay": (
        "trans-Earth injection",
        "the return burn waits for its place in the orbit",
    ),
}
ALL = "the flight, its burns, limits and findings are as before"


def reason(knob: Knob | Choice, plan: Plan, before: Plan) -> str:
    """Return what in the flight keeps a move from showing; "" where nothing known does."""
    text = _waits(knob.key, plan, before) or _below(knob.key, plan)
    return f"{knob.label} changes nothing here: {text}." if text else ""


def felt(knob: Knob | Choice, plan: Plan, before: Plan) -> str:
    """Return where a move is felt that shows neither in words nor in pictures."""
    found = changed.elsewhere(plan, before)
    if found:
        return f"{knob.label} changes nothing shown here; it is felt in {found}."
    return f"{knob.label} changes nothing in this plan: {ALL}."


def _waits(key: str, plan: Plan, before: Plan) -> str:
    """Return that a burn waits for its place, the same one as before."""
    leg, text = WAITING.get(key, ("", ""))
    now, then = plan.flight.burn_of(leg), before.flight.burn_of(leg)
    if now is None or then is None or abs(now.elapsed - then.elapsed) > MINUTE:
        return ""
    return f"{text}, at {plan.flight.utc(now.elapsed):%Y-%m-%d %H:%M} UTC"


def _below(key: str, plan: Plan) -> str:
    """Return that the climb stays below a limit, if it does."""
    climb, limits = plan.flight.climb, plan.scenario.climb
    if climb is None:
        return ""
    q, a = climb.most_dynamic_pressure.value, climb.most_acceleration.value
    if key == PRESSURE and _spare(limits.pressure_limit, q):
        return f"the greatest dynamic pressure, {q / 1e3:.1f} kPa, stays below the limit"
    if key == ACCELERATION and _spare(limits.acceleration_limit, a):
        return f"the greatest acceleration, {a:.1f} m/s2, stays below the limit"
    return ""


def _spare(limit: float | None, peak: float) -> bool:
    return limit is None or peak < limit
