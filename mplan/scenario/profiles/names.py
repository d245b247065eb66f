"""What the kinds of mission are called, and the words for arcs and burns that some of them have."""

from __future__ import annotations

from typing import Literal

Profile = Literal[
    "lunar-orbit-rendezvous landing",
    "lunar orbit and return",
    "free-return flyby",
    "direct landing and return",
    "landing with the return stage",
    "cargo landing",
    "cargo to lunar orbit",
    "launch to Earth orbit",
]

EARTH_ORBIT = "launch to Earth orbit"  # where another ship meets it
HYBRID_TRANSFER = "hybrid transfer"  # on the way to the Moon, of a hybrid arc
HYBRID, FREE_RETURN = "hybrid", "free return"  # of orbits.translunar_arc
PLANE_CHANGE = "lunar-orbit plane change"  # flown whenever the ship is in lunar orbit
APOLUNE_CHANGE = "lunar-orbit apolune change"  # likewise
UPKEEP = "orbit upkeep"  # likewise
CIRCULARISATION = "lunar-orbit circularisation"
