"""Home without an orbit about the Moon: round it, or turned back before it."""

__all__ = [
    "coast_past",
    "direct_return",
    "flyby_return",
    "free_return",
    "hastened_return",
    "hybrid",
]
