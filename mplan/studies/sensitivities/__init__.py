"""What a unit of anything does to the margins of a mission, by flying it again."""

__all__ = ["differences", "effects", "exchange", "jumps", "rooms", "variations"]
