"""Turning a craft and holding its attitude with thrusters: what it takes of their propellant."""

__all__ = ["thruster_impulse"]
