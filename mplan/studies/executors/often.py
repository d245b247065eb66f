"""What a process does that flies often; for one flight it would not be worth it."""

from __future__ import annotations

from mplan.physics import compiling
from mplan.process import collecting


def begin() -> None:
    """Load the compiled functions beside the work, and look through everything less often."""
    compiling.start()
    collecting.seldom()
