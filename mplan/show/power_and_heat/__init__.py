"""Electric energy and heat, as workbook cells show them.

Workbook 10 calls these: `power_and_heat.charge(plan)`, `power_and_heat.charges(plan)`,
`power_and_heat.loads(plan)`, `power_and_heat.heat(plan)`.
"""

from __future__ import annotations

from mplan.show.power_and_heat.pictures import charge
from mplan.show.power_and_heat.tables import charges, heat, loads

__all__ = ["charge", "charges", "heat", "loads"]
