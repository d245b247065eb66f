"""The plane that the ship arrives in, and its turn into the one over the landing site."""

__all__ = ["capture", "orbits_flown", "plane", "turn"]
