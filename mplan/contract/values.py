"""What the parts of the document share."""

from __future__ import annotations

from datetime import datetime
from typing import Any

Document = dict[str, Any]


def utc(moment: datetime) -> str:
    """Return an epoch as the document writes it: ISO 8601 with microseconds, UTC."""
    return moment.strftime("%Y-%m-%dT%H:%M:%S.%fZ")
