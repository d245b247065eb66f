"""The climb from the pad to the parking orbit, and the escape from it."""

__all__ = [
    "blast",
    "drag",
    "escape",
    "fall",
    "impact",
    "launch_azimuth",
    "launch_climb",
    "launch_vehicle",
    "normal_force",
    "optimum",
    "stage_burns",
    "track",
    "weather",
]
