"""What does not fit in a schedule, what holds a launch, and changes that were scheduled anew."""
