"""Earth, Moon and Sun: where they are, how they turn, their air, light and lines of sight."""

__all__ = [
    "atmosphere",
    "daylight",
    "days",
    "downrange",
    "earth",
    "ephemeris",
    "even_nodes",
    "horizon",
    "land",
    "lunar_axes",
    "lunar_gravity",
    "selenography",
    "shadow",
    "sight",
    "time",
]
