"""Ways out between Earth and the Moon: in orbit, at injection, on the coast, at insertion."""

__all__ = ["earth_orbit", "to_the_moon"]
