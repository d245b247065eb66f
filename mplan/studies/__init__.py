"""Many flights of the same scenario."""

__all__ = [
    "captures",
    "engines",
    "flown",
    "four_burns",
    "hybrids",
    "latitudes",
    "loops",
    "maps",
    "meetings",
    "midcourse",
    "off_nominal",
    "revolution",
    "shorten",
    "stay",
    "windows",
]
