"""Read-only tables go to other processes and come back as such; Python by itself refuses them."""

from __future__ import annotations

import copyreg
from types import MappingProxyType
from typing import Any


def _made(table: dict[Any, Any]) -> MappingProxyType[Any, Any]:
    return MappingProxyType(table)


def _kept(table: MappingProxyType[Any, Any]) -> tuple[Any, tuple[dict[Any, Any]]]:
    return _made, (dict(table),)


def allow() -> None:
    """Let them be pickled: flights hold such tables."""
    copyreg.pickle(MappingProxyType, _kept)
