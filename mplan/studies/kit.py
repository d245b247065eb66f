"""What stands for the kit itself: the source that decides how a mission is flown and judged."""

from __future__ import annotations

import hashlib
from contextlib import suppress
from functools import cache
from importlib.metadata import version
from pathlib import Path

LIBRARIES = ("numpy", "scipy", "heyoka", "numba", "astropy")
PACKAGE = Path(__file__).parent.parent
ROOMS = (
    *("physics", "scenario", "vehicle", "flight", "contingencies", "checks"),
    *("comparing", "studies"),
)


@cache
def source_digest() -> str:
    """Return 12 hexadecimal digits of the source and of the libraries that numbers rest on."""
    digest = hashlib.sha256()
    for name in LIBRARIES:
        with suppress(ModuleNotFoundError):  # heyoka is not there on every system
            digest.update(f"{name} {version(name)}".encode())
    files = [file for room in ROOMS for file in sorted((PACKAGE / room).rglob("*.py"))]
    for file in (*files, PACKAGE / "plan.py"):
        digest.update(file.read_bytes())
    return digest.hexdigest()[:12]
