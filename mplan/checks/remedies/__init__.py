"""Changes that would help, each flown again before it is shown."""

from mplan.checks.remedies.flown import costs, for_findings

__all__ = ["costs", "for_findings"]
