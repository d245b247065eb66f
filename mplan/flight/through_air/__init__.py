"""What a flown entry is: its record, where it comes down, and what limits it."""
