"""What a craft is and does at moments of a flight, for its control authority to be judged."""

__all__ = ["conditions", "engine_out"]
