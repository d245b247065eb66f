"""Can the lander descend, touch down within its limits, and abort to orbit at any time?

The figures are a planning study's: an abort is a matter of crew safety, and licensed practice
decides.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from mplan.checks.finding import Finding, Severity
from mplan.contingencies import descent_aborts
from mplan.flight.record import BurnRecord, Flight
from mplan.flight.state import existing
from mplan.physics.constants import DEG, MU_MOON, R_MOON
from mplan.physics.landing.descent import DescentFlight
from mplan.scenario import heights
from mplan.scenario.figures import Figures, FoundNumber, Measured, apart, at_least, at_most
from mplan.scenario.wording import plain
from mplan.vehicle.ledger import thrust

PHYSICS = "the lander's weight on the Moon at touchdown"
THRUST = "thrust limits of the engine"
ON_SITE = 10.0  # m from the site at touchdown that are still on it
GRAZE = 1.0  # m below the site's level that are rounding
SAMPLES = 5  # aborts tried, from ignition to the last hover
USABLE, RESERVE = "usable propellant", "descent.reserve_time"  # bases of what propellant limits
SEEN = 0.75  # of the approach for which the site should be in view; common practice, no source


class _Case(NamedTuple):
    """The burn that lands, and its descent, if it could be flown."""

    flight: Flight
    burn: BurnRecord
    descent: DescentFlight | None


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield findings on the descent, the site's ground, aborts and the ascent's plane."""
    burn = flight.burn_of("powered descent")
    if burn is None:
        return
    case = _Case(flight, burn, flight.end.descent)
    yield from _weight(case)
    yield from _terrain(case)
    if case.descent is not None:
        yield from _propellant(case, case.descent)
        yield from _touchdown(case, case.descent)
        yield from _view(case)
        yield from _aborts(case, case.descent)
    yield from _plane(flight)


def _finding(
    case: _Case, text: str, figures: Figures, basis: str, severity: Severity = "stops the flight"
) -> Finding:
    subject = (case.burn.element, case.burn.engine)
    return Finding(severity, "landing", "landing", text, figures, basis, subject)


def _weight(case: _Case) -> Iterator[Finding]:
    engine = case.flight.scenario.elements[case.burn.element].engines[case.burn.engine]
    weight = (case.burn.mass - case.burn.propellant) * MU_MOON / R_MOON**2
    most = thrust(engine) / weight
    least = most * (1.0 if engine.throttle_min is None else engine.throttle_min)
    if most <= 1.0:
        limit, found = apart(1.0, most, 2)
        figures = Figures(
            f"thrust-to-weight above {limit}", found, Measured(1.0, most, "", 2, least=True)
        )
        text = f"the lander cannot hold its weight at touchdown: full thrust is {found} of it"
        yield _finding(case, text, figures, PHYSICS)
    if least > 1.0:
        limit, found = apart(1.0, least, 2)
        figures = Figures(f"thrust-to-weight {limit} at most", found, Measured(1.0, least, "", 2))
        text = f"the lander cannot hover at touchdown: its lowest thrust is {found} of its weight"
        yield _finding(case, text, figures, PHYSICS)


def _terrain(case: _Case) -> Iterator[Finding]:
    """Hold the low points of the orbits against the ground at the site."""
    scenario = case.flight.scenario
    margin, site = scenario.descent.terrain_margin, heights.ground(scenario)
    lows = {"descent_perilune": heights.descent_perilune(scenario)}
    if case.flight.burn_of("lunar ascent") is not None:
        lows["ascent_perilune"] = heights.ascent_apsides(scenario)[0]
    for key, low in lows.items():
        clear = low - site
        if clear < margin:
            figures = at_least(margin / 1e3, clear / 1e3, "km")
            text = (
                f"the {plain(key)} lies {figures.found} over the ground at the site: "
                "less than descent.terrain_margin"
            )
            yield _finding(case, text, figures, "descent.terrain_margin")


def _propellant(case: _Case, descent: DescentFlight) -> Iterator[Finding]:
    limit = case.flight.scenario.descent.reserve_time
    if descent.left < 0.0:
        track = descent.track
        dry = int(np.argmax(track.mass[0] - track.mass > descent.propellant + descent.left))
        text = (
            f"the {plain(case.burn.element)} runs out of propellant "
            f"{track.t[-1] - track.t[dry]:.0f} s before touchdown, "
            f"{track.altitude[dry]:,.0f} m above the site"
        )
        figures = at_least(descent.propellant, descent.propellant + descent.left, "kg", 0)
        yield _finding(case, text, figures, USABLE)
    elif descent.seconds_left < limit:
        figures = at_least(limit, descent.seconds_left, "s", 0)
        text = (
            f"at touchdown the {plain(case.burn.element)} could hover for "
            f"{figures.found} more: less than descent.reserve_time"
        )
        yield _finding(case, text, figures, RESERVE)


def _touchdown(case: _Case, descent: DescentFlight) -> Iterator[Finding]:
    limit = case.flight.scenario.descent.touchdown_limit
    if descent.lowest < -GRAZE:
        text = (
            f"the descent meets the ground short of the site: guidance asks for thrust beyond the "
            f"engine's limits for {descent.at_limit:.0f} s"
        )
        figures = at_least(-GRAZE, descent.lowest, "m", 0, of="above the site")
        yield _finding(case, text, figures, THRUST)
    elif descent.miss > ON_SITE:
        figures = at_most(ON_SITE, descent.miss, "m", 0)
        text = (
            f"the descent misses its site by {figures.found}: guidance asks for thrust "
            f"beyond the engine's limits for {descent.at_limit:.0f} s"
        )
        yield _finding(case, text, figures, THRUST)
    elif descent.speed > limit:
        figures = at_most(limit, descent.speed, "m/s")
        text = f"the lander touches down at {figures.found}: above the limit of its landing gear"
        yield _finding(case, text, figures, "descent.touchdown_limit")


def _view(case: _Case) -> Iterator[Finding]:
    share, edge = in_view(case.flight), case.flight.scenario.descent.window_edge
    if share < SEEN and case.flight.scenario.mission.landing_crew:
        figures = at_least(100.0 * SEEN, 100.0 * share, "%", 0, of="of the approach")
        text = (
            f"the crew see the site for {figures.found}: it lies below the edge of "
            f"their window, {edge / DEG:.0f} deg below the forward axis"
        )
        basis = "descent.window_edge; the share is common practice, no source"
        yield _finding(case, text, figures, basis, "needs a decision")


def in_view(flight: Flight) -> float:
    """Return the share of the approach for which the site is above the edge of the window."""
    descent = existing(flight.end.descent, "a powered descent")
    phase = descent.phase("approach")
    track = descent.track.between(phase.t + 1e-6, phase.t + phase.duration - 1e-6)
    return float(np.mean(track.look <= flight.scenario.descent.window_edge))


def _aborts(case: _Case, descent: DescentFlight) -> Iterator[Finding]:
    """Find where the ascent stage cannot return to orbit; the final metres are not looked at."""
    points = descent_aborts.points_of(descent, SAMPLES, descent.phase("touchdown").t)
    lost = [x for x in descent_aborts.by_ascent_stage(case.flight, points) if x.margin < 0.0]
    if not lost:
        return
    first, worst = lost[0], min(lost, key=lambda x: x.margin)
    reason = f"it lacks up to {-worst.margin:,.0f} m/s"
    if not np.isfinite(worst.margin):
        reason = "it meets the ground first, or its thrust is too low"
    text = (
        f"from about {first.t:.0f} s after ignition, {first.altitude / 1e3:.1f} km up, the ascent "
        f"stage cannot return the crew to orbit: {reason}"
    )
    fail = f"{len(lost)} of {len(points)} flown fail"
    amounts = (FoundNumber(len(lost), 0), FoundNumber(len(points), 0))
    figures = Figures("a descent abort at any time", fail, amounts=amounts)
    basis = "estimate, from descent.abort_perilune and staging_time"
    yield _finding(case, text, figures, basis, "needs a decision")


def _plane(flight: Flight) -> Iterator[Finding]:
    burn, limit = flight.burn_of("lunar ascent"), flight.scenario.lunar_ascent.plane_limit
    if burn is None:
        return
    cost = burn.losses.get("plane", 0.0)
    if cost > limit:
        figures, subject = at_most(limit, cost, "m/s", 0), (burn.element, burn.engine)
        text = f"the turn into the ship's plane costs the ascent {figures.found}: {burn.note}"
        basis = "lunar_ascent.plane_limit"
        yield Finding("needs a decision", "landing", burn.name, text, figures, basis, subject)
