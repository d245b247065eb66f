"""Powered descent to the Moon, its abort, and the ascent."""
