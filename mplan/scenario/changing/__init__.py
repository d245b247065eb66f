"""What a change of a scenario leaves as it is, and which checks it asks again."""

__all__ = ["cross_checks", "shared"]
