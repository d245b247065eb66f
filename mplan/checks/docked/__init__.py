"""Questions asked of ships that meet: how one waited, and what passes between them when docked."""
