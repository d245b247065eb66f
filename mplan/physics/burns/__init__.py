"""What burns of real thrust take and lose."""

__all__ = [
    "aimed_burn",
    "finite_burn",
    "level_gain",
    "linear_tangent",
    "orbit_upkeep",
    "settling",
    "shared_turn",
    "tangent_targets",
]
