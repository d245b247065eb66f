"""Planned radii near the Moon's ground, and what the heights there are counted from."""

from __future__ import annotations

from mplan.physics.constants import R_MOON
from mplan.scenario.scenario import Scenario
from mplan.scenario.stated import stated

SPHERE = "the 1737.4 km sphere"


def level(scenario: Scenario) -> float:
    """Return the radius [m] from which the heights of descent and ascent orbits are counted."""
    return ground(scenario) if scenario.orbits.heights_above == "site" else R_MOON


def counted_from(scenario: Scenario) -> str:
    """Return in words what the heights of descent and ascent orbits are counted from."""
    return "the site" if scenario.orbits.heights_above == "site" else SPHERE


def ground(scenario: Scenario) -> float:
    """Return the radius of the landing site [m]."""
    return R_MOON + scenario.site.elevation


def descent_perilune(scenario: Scenario) -> float:
    """Return the planned radius [m] where the powered descent begins."""
    return level(scenario) + stated(scenario.orbits.descent_perilune, "orbits.descent_perilune")


def ascent_apsides(scenario: Scenario) -> tuple[float, float]:
    """Return the radii [m] of perilune and apolune of the orbit that lunar ascent reaches."""
    low = stated(scenario.orbits.ascent_perilune, "orbits.ascent_perilune")
    high = stated(scenario.orbits.ascent_apolune, "orbits.ascent_apolune")
    return level(scenario) + low, level(scenario) + high


def of_descent(scenario: Scenario) -> str:
    """Return in words where the descent is planned to begin, above sphere and site.

    The two differ by the site's elevation.
    """
    low = descent_perilune(scenario)
    over_sphere, over_site = (low - R_MOON) / 1e3, (low - ground(scenario)) / 1e3
    return f"{over_sphere:.1f} km above {SPHERE}, {over_site:.1f} km above the site"
