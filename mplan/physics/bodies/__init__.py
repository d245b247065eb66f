"""Earth, Moon and Sun: where they are, how they turn, their air, light and lines of sight."""
