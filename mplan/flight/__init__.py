"""The mission flown on paper: one file per leg, in flight order, and the walk through them."""
