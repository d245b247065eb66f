"""Coasts between burns, from the parking orbit to the Moon and home."""

__all__ = [
    "bplane",
    "coasting",
    "compiled",
    "dispersion",
    "homeward",
    "injection",
    "lambert",
    "launch_time",
    "lunar_elements",
    "lunar_orbit",
    "nbody",
    "orbit",
    "outbound",
    "parking",
    "recovery",
    "thrust_arc",
]
