"""Questions asked of what happens between elements that are docked."""
