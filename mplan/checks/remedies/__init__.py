"""What would help against a finding: changes to the scenario, each flown before it is shown."""

from mplan.checks.remedies.price import costs, mass_told
from mplan.checks.remedies.search import kind
from mplan.checks.remedies.worked import for_findings

__all__ = ["costs", "for_findings", "kind", "mass_told"]
