"""Away from the Moon by a hyperbola: the first guess, and the least burn onto an arc home."""

__all__ = ["joined_conics", "least_departure"]
