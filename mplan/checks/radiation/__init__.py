"""The crew's dose as a first-order note: belts, free space, the Moon; no solar event."""

from mplan.checks.radiation.dose import NOT_MODELLED, CrewDose, DosePart, doses
from mplan.checks.radiation.findings import findings

__all__ = ["NOT_MODELLED", "CrewDose", "DosePart", "doses", "findings"]
