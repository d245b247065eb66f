"""Round the Moon with no burn there: free returns, and arcs whose insertion fails."""

__all__ = [
    "coast_past",
    "free_return",
    "hybrid",
]
