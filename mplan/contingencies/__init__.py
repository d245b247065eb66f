"""A finished flight, and what if it fails here: aborts, rescue and the coverage of the climb."""

__all__ = [
    "climb_aborts",
    "climb_point",
    "coverage",
    "descent_aborts",
    "engine_out",
    "failed_insertion",
    "held",
    "rescue",
    "tower_escape",
    "ways_out",
]
