"""Two plans side by side: what differs in what is written, and what it does to the flight."""

from mplan.comparing.comparison import Comparison, compare, with_file
from mplan.comparing.dates import DatePair
from mplan.comparing.figures import FigurePair
from mplan.comparing.keys import KeyPair
from mplan.comparing.masses import ElementPair
from mplan.comparing.records import BurnPair, FindingPair, LimitPair, MomentPair

__all__ = [
    "BurnPair",
    "Comparison",
    "DatePair",
    "ElementPair",
    "FigurePair",
    "FindingPair",
    "KeyPair",
    "LimitPair",
    "MomentPair",
    "compare",
    "with_file",
]
