"""The front door of workbook 04, the stack on the pad: what its cells show."""

from __future__ import annotations

from mplan.show.stack.panel import panel
from mplan.show.stack.pictures import profile
from mplan.show.stack.tables import (
    engines,
    lengths,
    pad,
    residuals,
    shortened,
    shortened_burns,
    tanks,
)

__all__ = [
    "engines",
    "lengths",
    "pad",
    "panel",
    "profile",
    "residuals",
    "shortened",
    "shortened_burns",
    "tanks",
]
