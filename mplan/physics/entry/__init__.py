"""Entry into the air, its heating, and the parachutes."""

__all__ = [
    "allen_eggers",
    "bank",
    "corridor",
    "entry_air",
    "entry_flight",
    "entry_track",
    "heating",
    "homing",
    "nose",
    "over_ground",
    "parachutes",
    "radiation",
    "reversals",
]
