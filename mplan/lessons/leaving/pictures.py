"""The pictures of lesson 1, each a drawing of the values that its sliders stand at."""

from __future__ import annotations

from math import pi, sqrt

import numpy as np

from mplan.lessons import strokes
from mplan.lessons.leaving.reach import azimuth_towards, burn_towards, reach, time_to
from mplan.physics import constants as c
from mplan.physics.twobody import circular_speed
from mplan.show.drawn import palette, rows
from mplan.show.drawn import strokes as places
from mplan.show.drawn.figure import Drawing

MOON = 384.4e6  # m, the Moon's mean distance
TICKED = 400e3  # km, the outermost marks of the picture to scale
POINTS = 181


def circles(altitude: float) -> Drawing:
    """Draw circular and escape speed over the altitude [km]."""
    look = palette.look()
    heights = np.linspace(100.0, 2000.0, POINTS)
    circle = [circular_speed(c.R_EARTH + x * 1e3, c.MU_EARTH) / 1e3 for x in heights]
    r = c.R_EARTH + altitude * 1e3
    v = circular_speed(r, c.MU_EARTH) / 1e3
    minutes = 2.0 * pi * r / (v * 1e3) / c.MINUTE
    return Drawing(
        traces=[
            strokes.curve("on a circle", heights, circle, look.main),
            strokes.curve(
                "to escape", heights, [x * sqrt(2.0) for x in circle], look.second, "dash"
            ),
            strokes.dot(altitude, v, f"{v:.2f} km/s", look),
        ],
        x=strokes.axis(look, "altitude [km]", 100.0, 2000.0),
        y=strokes.axis(look, "speed [km/s]", 6.0, 12.0),
        height=strokes.HEIGHT,
        summary=(
            f"{altitude:,.0f} km up, {r / 1e3:,.0f} km from Earth's centre: {v:.2f} km/s on a "
            f"circle, once round in {minutes:.0f} min; {v * sqrt(2.0):.2f} km/s to escape."
        ),
        look=look,
    )


def ellipse(burn: float, altitude: float) -> Drawing:
    """Draw the ellipse after a burn [m/s] in a circle at an altitude [km], the Moon's way too."""
    look = palette.look()
    r = c.R_EARTH + altitude * 1e3
    far = reach(r, burn)
    a, e = (r + far) / 2.0, (far - r) / (far + r)
    turn = np.linspace(0.0, 2.0 * pi, POINTS)  # eccentric anomaly: even along the path
    across, up = -a * (np.cos(turn) - e), a * sqrt(1.0 - e * e) * np.sin(turn)
    path = np.column_stack([across, up]) / 1e3
    x, y = places.axes(look, "km, away from the burn", "km")
    wide, marks = 1.12 * MOON / 1e3, rows.ticks(-TICKED, TICKED)
    side = "top right" if far < MOON / 2.0 else "top left"
    end = np.array([[min(far, 1.05 * MOON) / 1e3, 0.0]])
    short = (MOON - far) / 1e3
    gap = f"{abs(short):,.0f} km {'short of' if short > 0 else 'beyond'} the Moon's mean distance"
    return Drawing(
        traces=[
            places.line("the Moon's way", places.circle(np.zeros(2), MOON), look.moon, "solid", 1),
            places.line("after the burn", path, look.outbound, "solid", 2),
            places.disc("Earth", np.zeros(2), c.R_EARTH, look.earth),
            places.names([f"{far / 1e3:,.0f} km"], end, [side], look),
        ],
        x={**x, "range": [-wide, wide], **marks},
        y={**y, "range": [-wide, wide], **marks},
        height=460,
        summary=(
            f"A burn of {burn:,.0f} m/s at {altitude:,.0f} km leads {far / 1e3:,.0f} km out, "
            f"{gap}. Ten m/s more would lead {(reach(r, burn + 10.0) - far) / 1e3:,.0f} km further."
        ),
        look=look,
    )


def times(burn: float, altitude: float) -> Drawing:
    """Draw how long the way to the Moon's distance takes over the burn [m/s]; altitude [km]."""
    look = palette.look()
    r = c.R_EARTH + altitude * 1e3
    least = burn_towards(r, MOON)
    if burn < least:
        said = f"a burn of {burn:,.0f} m/s does not reach the Moon: {least:,.1f} m/s is the least"
        raise ValueError(said)
    burns = least + np.linspace(0.0, 1.0, POINTS) ** 2 * (3400.0 - least)
    hours = [time_to(r, MOON, x) / c.HOUR for x in burns]
    took = time_to(r, MOON, burn) / c.HOUR
    longest = hours[0]
    return Drawing(
        traces=[
            strokes.curve("time to the Moon's distance", burns, hours, look.main),
            strokes.dot(burn, took, f"{took:.0f} h", look),
        ],
        x=strokes.axis(look, "burn in the parking orbit [m/s]", 3120.0, 3400.0),
        y=strokes.axis(look, "time [h]", 0.0, 130.0),
        height=strokes.HEIGHT,
        summary=(
            f"A burn of {burn:,.0f} m/s is there after {took:.1f} h. The least, {least:,.1f} m/s, "
            f"takes {longest:.1f} h: {burn - least:,.1f} m/s more save {longest - took:.1f} h."
        ),
        look=look,
    )


def month(day: float, days: np.ndarray, distances: np.ndarray, declinations: np.ndarray) -> Drawing:
    """Draw the Moon's distance [m] over days from a date, with the burn of one day in words.

    `declinations` [rad] are told as well: how far north or south of the equator it stands.
    """
    look = palette.look()
    r = c.R_EARTH + 185e3
    there = float(np.interp(day, days, distances))
    tilt = float(np.interp(day, days, declinations)) / c.DEG
    burn, nearest, farthest = (
        burn_towards(r, x) for x in (there, distances.min(), distances.max())
    )
    return Drawing(
        traces=[
            strokes.curve("the Moon's distance", days, distances / 1e6, look.moon),
            strokes.dot(day, there / 1e6, f"{there / 1e3:,.0f} km", look),
        ],
        x=strokes.axis(look, "days after the date", 0.0, float(days[-1])),
        y=strokes.axis(look, "distance [thousand km]", 350.0, 415.0),
        height=strokes.HEIGHT,
        summary=(
            f"Day {day:.1f}: the Moon is {there / 1e3:,.0f} km away and {abs(tilt):.1f} deg "
            f"{'north' if tilt >= 0 else 'south'} of the equator. The least burn is {burn:,.1f} "
            f"m/s; over the month it goes from {nearest:,.1f} to {farthest:,.1f} m/s."
        ),
        look=look,
    )


def passes(declination: float, latitude: float, limits: tuple[float, float]) -> Drawing:
    """Draw the azimuth that leads into a plane through the Moon, over the hours of a day.

    `declination` and `latitude` of the launch site in [deg], `limits` of the azimuth [deg]. The
    hours count from when the site passes under the Moon.
    """
    look = palette.look()
    hours = np.linspace(0.0, 24.0, 24 * 20 + 1)
    azimuths = [azimuth_towards(latitude, declination, x) for x in hours]
    low, high = limits
    is_open = [low <= x <= high for x in azimuths]
    steps = np.diff(np.array(azimuths))
    drawn = [None if i and abs(steps[i - 1]) > 90.0 else x for i, x in enumerate(azimuths)]
    allowed = [x if x is not None and ok else None for x, ok in zip(drawn, is_open, strict=True)]
    spells = sum(ok and not before for before, ok in zip([False, *is_open], is_open, strict=False))
    spells -= is_open[0] and is_open[-1] and spells > 1  # a day closes on itself
    open_hours = 24.0 * sum(is_open[:-1]) / (len(is_open) - 1)
    return Drawing(
        traces=[
            strokes.curve("azimuth towards the Moon", hours, drawn, look.main),
            strokes.curve("allowed", hours, allowed, look.good, "solid", 6),
            strokes.curve("limits of the range", [0.0, 24.0], [low, low], look.bad, "dash", 1),
            strokes.curve("", [0.0, 24.0], [high, high], look.bad, "dash", 1, legend=False),
        ],
        x=strokes.axis(look, "hours since the site passed under the Moon", 0.0, 24.0),
        y=strokes.axis(look, "launch azimuth [deg]", 0.0, 180.0),
        height=strokes.HEIGHT,
        summary=(
            f"The Moon {abs(declination):.0f} deg {'north' if declination >= 0 else 'south'} of "
            f"the equator: {spells} window{'s' * (spells != 1)} a day, {open_hours:.1f} h of 24 "
            f"in all. Due east from here the plane tilts by {abs(latitude):.1f} deg, "
            "the least there is."
        ),
        look=look,
    )
