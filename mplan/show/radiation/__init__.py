"""The crew's dose, as workbook cells show it.

Workbook 10 calls `radiation.dose(plan)`; `radiation.sentence(flight)` says it in one line.
"""

from __future__ import annotations

from mplan.show.radiation.rows import sentence
from mplan.show.radiation.tables import dose

__all__ = ["dose", "sentence"]
