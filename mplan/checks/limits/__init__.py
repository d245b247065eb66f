"""What a flight uses of what it may use: starts, burn times, days, supplies, control, cost."""

from mplan.checks.limits import left
from mplan.checks.limits.left import Left
from mplan.checks.limits.rows import KINDS, LimitRow, of, tightest

__all__ = ["KINDS", "Left", "LimitRow", "left", "of", "tightest"]
