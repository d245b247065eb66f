"""The plane that runs over the landing site along the approach azimuth."""

from __future__ import annotations

from math import cos, sin

import numpy as np

from mplan.flight import lunar_orbit
from mplan.physics.arcs.lunar_orbit import node_rate
from mplan.physics.bodies import selenography
from mplan.physics.vectors import cosine_between, cross, turned, unit
from mplan.scenario import Scenario
from mplan.scenario.stated import stated


def over_site(scenario: Scenario, t: float, wait: float) -> np.ndarray:
    """Return the normal at `t` [TDB s] of the plane that runs over the site, `wait` [s] later.

    There it runs along the approach azimuth; J2 turns it until then.
    """
    place, azimuth = scenario.site, stated(scenario.orbits.approach_azimuth, "approach_azimuth")
    pole = selenography.lunar_pole(t)
    site = unit(selenography.site_position(place.latitude, place.longitude, t + wait))
    east = unit(cross(pole, site))
    normal = cross(site, cos(azimuth) * cross(site, east) + sin(azimuth) * east)
    rate = node_rate(
        lunar_orbit.radius(scenario), 0.0, float(np.arccos(cosine_between(normal, pole)))
    )
    return turned(normal, pole, -rate * wait)
