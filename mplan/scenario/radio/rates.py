"""Data rates in words."""

from __future__ import annotations


def rate_in_words(value: float) -> str:
    """Return a data rate [bit/s] as people say it: 2e6 is "2 Mbit/s"."""
    for unit, size in (("Mbit/s", 1e6), ("kbit/s", 1e3)):
        if value >= size:
            return f"{value / size:,.3g} {unit}"
    return f"{value:.3g} bit/s"
