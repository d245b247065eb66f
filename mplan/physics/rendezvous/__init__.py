"""Rendezvous about the Moon or Earth, burn by burn."""

__all__ = [
    "impulses",
    "launch_delay",
    "launch_passes",
    "lead",
    "meeting",
    "phasing",
    "relative",
    "terms",
]
