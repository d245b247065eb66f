"""The launches of a mission's ships, day by day."""

__all__ = ["chance", "launch_days"]
