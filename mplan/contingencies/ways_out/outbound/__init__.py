"""Ways out between Earth and the Moon: in orbit, at injection, on the coast, at insertion."""

__all__ = ["earth_orbit", "on_the_way", "to_the_moon"]
