"""The mission flown on paper: one file per leg, in flight order, and the walk through them."""

__all__ = [
    "ascent",
    "descent",
    "entry",
    "entry_again",
    "launch",
    "lunar_ascent",
    "lunar_orbit",
    "midcourse",
    "record",
    "rendezvous",
    "settling",
    "state",
    "steps",
    "translunar",
    "unflyable",
    "walk",
]
