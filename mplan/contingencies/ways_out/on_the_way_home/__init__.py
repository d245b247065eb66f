"""Ways out after the Moon: corrections by other engines, sooner home, a return burn cut short."""

__all__ = ["way_home"]
