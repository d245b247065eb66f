"""Many flights of the same scenario."""
