"""What this process does that has nothing to do with missions."""
