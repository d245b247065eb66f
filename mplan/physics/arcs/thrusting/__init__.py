"""How a thrust is steered, and the two integrators that fly it."""

__all__ = ["steering", "thrust_dop853", "thrust_heyoka"]
