"""Ways out of every stretch of a flight: what is left once something fails, or is called off."""

__all__ = [
    "cells",
    "coverage",
    "every",
    "failures",
    "glance",
    "looks",
    "onward",
    "point",
    "told",
    "way_out",
]
