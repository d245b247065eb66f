"""The last kilometres of the descent, as a picture that a panel keeps."""

from __future__ import annotations

from mplan.show.moon.descent import WIDTH
from mplan.show.moon.descent import near as drawing

__all__ = ["WIDTH", "drawing"]
