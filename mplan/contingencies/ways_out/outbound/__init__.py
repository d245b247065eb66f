"""Ways out between Earth and the Moon: while injection burns, on the coast, at the insertion."""

__all__ = ["to_the_moon"]
