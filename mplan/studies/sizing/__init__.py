"""The least mass, cost or height of a mission that closes, over what is freed of it."""

from mplan.studies.sizing.laying import BASIS
from mplan.studies.sizing.measures import MEASURES, Measure
from mplan.studies.sizing.records import Active, Searched, Sized, Sizing
from mplan.studies.sizing.search import MOST_FLIGHTS, of

__all__ = [
    "BASIS",
    "MEASURES",
    "MOST_FLIGHTS",
    "Active",
    "Measure",
    "Searched",
    "Sized",
    "Sizing",
    "of",
]
