"""Many flights of the same scenario."""

__all__ = [
    "arrival",
    "blast",
    "captures",
    "coasts",
    "engines",
    "entries",
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
    "worked_examples",
]
