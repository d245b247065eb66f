"""Questions asked of ships: how one waited, what passes between docked ones, what has landed."""
