"""Ways out of every stretch of a flight: what is left once something fails, or is called off."""

__all__ = ["every", "failures", "lasting", "point", "way_out"]
