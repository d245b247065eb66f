"""Ships launched on their own: what a scenario states of each, and the mission as one sees it."""
