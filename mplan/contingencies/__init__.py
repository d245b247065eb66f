"""A finished flight, and what if it fails here: aborts, rescue and the coverage of the climb."""

__all__ = [
    "abort_to_orbit",
    "climb_aborts",
    "climb_point",
    "coverage",
    "descent_aborts",
    "rescue",
    "return_to_splash",
    "tower_escape",
]
