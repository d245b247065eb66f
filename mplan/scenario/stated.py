"""Optional keys of a scenario, read where the mission cannot do without them."""

from __future__ import annotations

from typing import TypeVar

Found = TypeVar("Found")


class NotStated(LookupError):
    """What is asked of a scenario is not stated in it."""


def stated(value: Found | None, key: str) -> Found:
    """Return the value of an optional `key`; raise NotStated where the scenario has none."""
    if value is None:
        raise NotStated(f"{key} is asked for, and the scenario does not state it")
    return value
