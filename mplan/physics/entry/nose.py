"""The sphere that a blunt nose heats like: smaller than its own where the rim cuts it short.

Air at the stagnation point of a cap speeds up towards the rim, sooner than on the whole
sphere; convection grows with the root of that gradient, and the shock lies closer. Flown at an
angle of attack for lift, the stagnation point moves towards the rim, and more so.
"""

from __future__ import annotations

from math import pi, sqrt

# Share of a hemisphere's gradient on a flat face with a sharp rim: E. V. Zoby and E. M. Sullivan,
# NASA TM X-1067 (1965), about 0.29; it also gives the 0.747 m with which a cap of 0.935 m, 0.336 m
# wide to its rim, was matched in calculations of a flown probe. All from memory.
FLAT = 0.29
# What lift over drag adds to it: the lunar-return capsules of 4.69 m, 1.956 m to the rim, heated
# like some 3.0 m at a lift over drag of 0.3 (from memory); straight in between.
INCIDENCE = 0.87
MOST_LIFT = 0.4  # beyond it the nose is no cap flown at an angle
ERROR = 0.15  # of the radius: 7 % of convection


def effective_radius(radius: float, diameter: float, lift_to_drag: float) -> float:
    """Return the radius [m] of the sphere whose stagnation point is heated alike.

    Of a spherical cap of `radius` [m] and `diameter` [m]: from the whole hemisphere, which it
    is itself, to the flat face. A nose narrower than its body, as of a blunted cone, is left as
    it is. Good to `ERROR`; tests or a computed flow of the shape replace it.
    """
    rim = diameter / 2.0
    whole = rim / radius
    if whole >= 1.0:
        return radius
    short = FLAT + INCIDENCE * min(lift_to_drag, MOST_LIFT)
    return rim / sqrt(whole**2 + short**2 * (1.0 - whole**2))


def cap_area(radius: float, diameter: float) -> float | None:
    """Return the area [m2] of a spherical cap of a `diameter` [m]; None if no sphere is so wide."""
    if diameter > 2.0 * radius * (1.0 + 1e-9):
        return None
    deep = radius - sqrt(max(radius**2 - diameter**2 / 4.0, 0.0))
    return 2.0 * pi * radius * deep
