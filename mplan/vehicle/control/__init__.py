"""Control authority: who controls a craft, what turns it, and what must be countered.

Rigid bodies only. Neglected: bending, sloshing, the inertia of swivelling engines, delays.
"""

__all__ = ["authority", "condition", "contribution", "controller", "thrusting"]
