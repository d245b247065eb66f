"""Powered descent to the Moon, its abort, and the ascent."""

__all__ = ["ascent", "descent", "descent_abort"]
