"""Ways out at the Moon: from lunar orbit, on the way down, on the ground, and on the way up."""

__all__ = [
    "cut_change",
    "home_from_orbit",
    "in_parts",
    "leaving",
    "lunar_orbit",
    "now",
    "return_targets",
    "surface",
    "way_down",
    "way_up",
]
