"""What people live on, as workbook cells show it: curves, activities, how long it lasts, the air.

Workbook 10 calls these: `living.lasting(plan)`, `living.air(plan)`, `living.outlook(plan)`,
`living.activities(plan)`; each takes a plan and shows itself as a cell's last line.
"""

from __future__ import annotations

from mplan.show.living.pictures import air, lasting
from mplan.show.living.tables import activities, outlook

__all__ = ["activities", "air", "lasting", "outlook"]
