"""Ways out on the pad and in the climb: the stage that burns fails whole, or one engine of it."""

__all__ = ["off_the_climb", "with_one_less"]
