"""The last kilometres of the descent, as a picture that a panel keeps."""

from __future__ import annotations

from mplan.show.descent_path import WIDTH
from mplan.show.descent_path import near as drawing

__all__ = ["WIDTH", "drawing"]
