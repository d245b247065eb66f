"""Rendezvous about the Moon or Earth, burn by burn."""

__all__ = [
    "daily_passes",
    "impulses",
    "launch_delay",
    "launch_passes",
    "lead",
    "meeting",
    "phasing",
    "relative",
    "terms",
]
