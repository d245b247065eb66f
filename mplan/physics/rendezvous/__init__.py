"""Rendezvous about the Moon, burn by burn."""

__all__ = ["impulses", "lead", "meeting", "relative", "terms"]
