"""When a launch leads to the Moon: the intervals of a day that are open."""

__all__ = ["interval", "intervals"]
