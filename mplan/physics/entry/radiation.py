"""Heat that the glow of the shock layer brings to the stagnation point.

Two fits to computed flows, made independently of each other: Tauber and Sutton, J. Spacecraft 28
(1991) 40-42, and Brandis and Johnston, AIAA 2014-2374. Neither is better borne out by flight, and
they lie up to 30 % apart on the way of a lunar return: their geometric mean is taken. Both were
computed for a plane layer of gas. Where the gas is transparent, a curved one sends
less (`curvature`); about half of the glow at lunar-return speed (from memory) is.
"""

from __future__ import annotations

import numpy as np

FLUX = 3.416e8  # W/m2: 3.416e4 W/cm2, Brandis and Johnston (as quoted since)
DENSITY_POWER = 1.261  # the same
LARGEST = ((0.5, 0.61), (2.0, 1.23), (10.0, 0.49))  # nose up to [m]: power of it at most, the same
OTHER_FLUX = 4.736e8  # W/m2: 4.736e4 W/cm2, Tauber and Sutton (as quoted since)
OTHER_DENSITY_POWER = 1.22  # the same
OTHER_LARGEST = ((1.0, 1.0), (2.0, 0.6), (10.0, 0.5))  # the same; it ends at 3 m, followed to 10 m
# m/s and 1, the same; to zero at its slow end, as the other fit fades
CURVE = (
    (8750.0, 0.0),
    (9000.0, 1.5),
    (9250.0, 4.3),
    (9500.0, 9.7),
    (9750.0, 19.5),
    (10000.0, 35.0),
    (10250.0, 55.0),
    (10500.0, 81.0),
    (10750.0, 115.0),
    (11000.0, 151.0),
    (11500.0, 238.0),
    (12000.0, 359.0),
    (12500.0, 495.0),
    (13000.0, 660.0),
    (13500.0, 850.0),
    (14000.0, 1065.0),
    (14500.0, 1313.0),
    (15000.0, 1550.0),
    (15500.0, 1780.0),
    (16000.0, 2040.0),
)
FASTEST = 16e3  # m/s, end of the older fit
STAND_OFF = 0.046  # of the nose radius: 0.78 times a density ratio of 1 to 17 across the shock
TRANSPARENT = 0.5  # of the glow (from memory; the rest is reabsorbed within millimetres)
ERROR = 0.35  # of it: reviews put either fit within 30 to 40 % of computed and measured flows


def radiative(density: np.ndarray, speed: np.ndarray, radius: float) -> np.ndarray:
    """Return the radiative flux [W/m2]; zero where the shock layer is too cool to glow.

    For noses of a `radius` up to 10 m and 10 to 16 km/s, 1e-5 to 5e-3 kg/m3; slower it is followed
    down to nothing at 8.9 km/s. Good to `ERROR`. Raises ValueError beyond radius or speed.
    """
    if radius > LARGEST[-1][0]:
        raise ValueError(f"nose radius {radius:g} m: the radiative fit ends at 10 m")
    if np.max(speed) > FASTEST:
        raise ValueError(f"speed {np.max(speed):.0f} m/s: the radiative fits end at 16 km/s")
    density, speed = np.maximum(density, 1e-12), np.maximum(speed, 1.0)
    plane = np.sqrt(
        brandis_johnston(density, speed, radius) * tauber_sutton(density, speed, radius)
    )
    return (1.0 - TRANSPARENT * (1.0 - curvature(STAND_OFF))) * plane


def brandis_johnston(density: np.ndarray, speed: np.ndarray, radius: float) -> np.ndarray:
    """Return the flux [W/m2] by AIAA 2014-2374: 9.5 to 17 km/s, slower followed down to zero."""
    power = np.minimum(_most(LARGEST, radius), 3.175e6 * speed**-1.80 * density**-0.1575)
    glow = np.maximum(-53.26 + 6555.0 / (1.0 + (16000.0 / speed) ** 8.25), 0.0)
    return FLUX * radius**power * density**DENSITY_POWER * glow


def tauber_sutton(density: np.ndarray, speed: np.ndarray, radius: float) -> np.ndarray:
    """Return the flux [W/m2] by J. Spacecraft 28 (1991) 40: 10 to 16 km/s, 0.3 to 3 m."""
    power = np.minimum(_most(OTHER_LARGEST, radius), 1.072e6 * speed**-1.88 * density**-0.325)
    speeds, glows = np.array(CURVE).T
    glow = np.interp(speed, speeds, glows)
    return OTHER_FLUX * radius**power * density**OTHER_DENSITY_POWER * glow


def curvature(stand_off: float) -> float:
    """Return what a transparent layer between two spheres sends, over what a plane one sends.

    `stand_off`: thickness over the radius of the inner sphere. The length of gas along a ray at
    zenith cosine m is sqrt(m2 + s) - m radii, s = stand_off (2 + stand_off); its integral over
    m dm is closed.
    """
    s = stand_off * (2.0 + stand_off)
    return ((1.0 + s) ** 1.5 - s**1.5 - 1.0) / (3.0 * stand_off)


def _most(powers: tuple[tuple[float, float], ...], radius: float) -> float:
    return next(power for largest, power in powers if radius <= largest)
