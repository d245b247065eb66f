"""Words of a panel without the differences that stand among them."""

from __future__ import annotations

import re
from html import unescape

DIFFERENCE = re.compile(r' ?<span role="img"[^>]*>(.*?)</span>')


def without(html: str) -> str:
    """Return what is said, without what has changed."""
    return unescape(DIFFERENCE.sub("", html))


def of(html: str) -> list[str]:
    """Return what has changed."""
    return [unescape(x) for x in DIFFERENCE.findall(html)]
