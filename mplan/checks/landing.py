"""Can the lander come down, stand, and come back at any time? What stops a landing, by its limit.

The figures are a planning study's: an abort is a matter of crew safety, and licensed practice
decides.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from mplan.checks.finding import Finding, Severity
from mplan.flight import lunar_abort
from mplan.flight.record import BurnRecord, Flight
from mplan.physics.constants import DEG, MU_MOON, R_MOON
from mplan.physics.landing.descent import Descent
from mplan.scenario.wording import plain
from mplan.vehicle.ledger import thrust

PHYSICS = "weight"
ON_SITE = 10.0  # m from the site at touchdown that are still on it
GRAZE = 1.0  # m below the site's level that are rounding
SAMPLES = 5  # aborts tried, from ignition to the last hover
SEEN = 0.75  # of the approach for which the site should be in view; common practice, no source


class _Case(NamedTuple):
    """The burn that lands, and its descent, if it could be flown."""

    flight: Flight
    burn: BurnRecord
    descent: Descent | None


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield findings on the descent, the site's ground, aborts and the ascent's plane."""
    burn = lunar_abort.leg(flight, "powered descent")
    if burn is None:
        return
    case = _Case(flight, burn, flight.end.descent)
    yield from _weight(case)
    yield from _terrain(case)
    if case.descent is not None:
        yield from _propellant(case)
        yield from _touchdown(case)
        yield from _view(case)
        yield from _aborts(case)
    yield from _plane(flight)


def _finding(
    case: _Case, text: str, asked: str, there: str, source: str, severity: Severity | None = None
) -> Finding:
    subject = (case.burn.element, case.burn.engine)
    severity = severity or "stops the flight"
    return Finding(severity, "landing", "landing", text, asked, there, source, subject)


def _weight(case: _Case) -> Iterator[Finding]:
    engine = case.flight.scenario.elements[case.burn.element].engines[case.burn.engine]
    weight = (case.burn.mass - case.burn.propellant) * MU_MOON / R_MOON**2
    most = thrust(engine) / weight
    least = most * (1.0 if engine.throttle_min is None else engine.throttle_min)
    if most <= 1.0:
        text = f"the lander cannot hold its weight at touchdown: full thrust is {most:.2f} of it"
        there = f"thrust-to-weight {most:.2f}"
        yield _finding(case, text, "above 1", there, PHYSICS)
    if least > 1.0:
        text = (
            "the lander cannot hover at touchdown: its lowest thrust is "
            f"{least:.2f} of its lunar weight"
        )
        yield _finding(case, text, "below 1", f"thrust-to-weight {least:.2f}", PHYSICS)


def _terrain(case: _Case) -> Iterator[Finding]:
    """Hold the low points of the orbits against the ground at the site."""
    scenario = case.flight.scenario
    margin, ground = scenario.descent.terrain_margin, scenario.landing_site.elevation
    for key in ("descent_perilune", "ascent_perilune"):
        clear = getattr(scenario.orbits, key) - ground
        if clear < margin:
            text = (
                f"the {plain(key)} lies {clear / 1e3:.1f} km over the ground at the site: "
                f"less than descent.terrain_margin"
            )
            asked, there = f"{margin / 1e3:.1f} km", f"{clear / 1e3:.1f} km"
            yield _finding(case, text, asked, there, "descent.terrain_margin")


def _propellant(case: _Case) -> Iterator[Finding]:
    descent, limit = case.descent, case.flight.scenario.descent.reserve_time
    if descent.left < 0.0:
        track = descent.track
        dry = int(np.argmax(track.mass[0] - track.mass > descent.propellant + descent.left))
        text = (
            f"the {plain(case.burn.element)} runs dry {track.t[-1] - track.t[dry]:.0f} s before "
            f"touchdown, {track.altitude[dry]:,.0f} m above the site"
        )
        there = f"{descent.propellant + descent.left:,.0f} kg"
        yield _finding(case, text, f"{descent.propellant:,.0f} kg", there, "usable propellant")
    elif descent.seconds_left < limit:
        text = (
            f"at touchdown the {plain(case.burn.element)} could hover for "
            f"{descent.seconds_left:.0f} s more: less than descent.reserve_time"
        )
        there = f"{descent.seconds_left:.0f} s"
        yield _finding(case, text, f"{limit:.0f} s", there, "descent.reserve_time")


def _touchdown(case: _Case) -> Iterator[Finding]:
    descent, limit = case.descent, case.flight.scenario.descent.touchdown_limit
    if descent.lowest < -GRAZE:
        text = (
            f"the descent meets the ground short of the site: guidance asks for thrust beyond the "
            f"engine's limits for {descent.at_limit:.0f} s"
        )
        there = f"{descent.lowest:,.0f} m"
        yield _finding(case, text, "above the ground", there, "thrust limits of the engine")
    elif descent.miss > ON_SITE:
        text = (
            f"the descent misses its site by {descent.miss:,.0f} m: guidance asks for thrust "
            f"beyond the engine's limits for {descent.at_limit:.0f} s"
        )
        there = f"{descent.miss:,.0f} m"
        yield _finding(case, text, f"{ON_SITE:.0f} m", there, "thrust limits of the engine")
    elif descent.speed > limit:
        text = f"the lander touches down at {descent.speed:.1f} m/s: more than its legs take"
        asked, there = f"{limit:.1f} m/s", f"{descent.speed:.1f} m/s"
        yield _finding(case, text, asked, there, "descent.touchdown_limit")


def _view(case: _Case) -> Iterator[Finding]:
    share, edge = in_view(case.flight), case.flight.scenario.descent.window_edge
    if share < SEEN:
        text = (
            f"the crew see the site in {share:.0%} of the approach: it lies below the edge of "
            f"their window, {edge / DEG:.0f} deg under the forward axis"
        )
        asked, source = f"{SEEN:.0%} of the approach", "descent.window_edge; common practice"
        yield _finding(case, text, asked, f"{share:.0%}", source, "needs a decision")


def in_view(flight: Flight) -> float:
    """Return the share of the approach for which the site is above the edge of the window."""
    descent = flight.end.descent
    phase = descent.phase("approach")
    track = descent.track.between(phase.t + 1e-6, phase.t + phase.duration - 1e-6)
    return float(np.mean(track.look <= flight.scenario.descent.window_edge))


def _aborts(case: _Case) -> Iterator[Finding]:
    """Find a stretch from which the ascent stage does not come back, the last metres apart."""
    descent = case.descent
    points = lunar_abort.moments(descent, SAMPLES, descent.phase("touchdown").t)
    lost = [x for x in lunar_abort.by_ascent_stage(case.flight, points) if x.margin < 0.0]
    if not lost:
        return
    first, worst = lost[0], min(lost, key=lambda x: x.margin)
    reason = f"it lacks up to {-worst.margin:,.0f} m/s"
    if not np.isfinite(worst.margin):
        reason = "the ground comes first, or its thrust does not do it"
    text = (
        f"from about {first.t:.0f} s after ignition, {first.altitude / 1e3:.1f} km up, the ascent "
        f"stage cannot bring the crew back to orbit: {reason}"
    )
    there = f"{len(lost)} of {len(points)} tried do not come back"
    source = "descent.abort_perilune and staging_time"
    yield _finding(case, text, "an abort at any time", there, source, "needs a decision")


def _plane(flight: Flight) -> Iterator[Finding]:
    burn, limit = lunar_abort.leg(flight, "lunar ascent"), flight.scenario.lunar_ascent.plane_limit
    if burn is None:
        return
    cost = burn.losses.get("plane", 0.0)
    if cost > limit:
        text = f"the turn into the ship's plane costs the ascent {cost:.0f} m/s: {burn.note}"
        asked, source = f"{limit:.0f} m/s", "lunar_ascent.plane_limit"
        subject = (burn.element, burn.engine)
        yield Finding(
            "needs a decision",
            "landing",
            burn.name,
            text,
            asked,
            f"{cost:.0f} m/s",
            source,
            subject,
        )
