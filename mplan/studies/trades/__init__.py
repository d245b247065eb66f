"""Many missions from one: grids, sweeps and lists of cases, flown, kept, and which are best."""

from __future__ import annotations

from mplan.studies.trades.fronts import front
from mplan.studies.trades.reading import load_study
from mplan.studies.trades.rows import CaseRow, KeptRows
from mplan.studies.trades.store import CaseStore
from mplan.studies.trades.study import TradeStudy
from mplan.studies.trades.trading import Trades, kept, of, study_of

__all__ = [
    "CaseRow",
    "CaseStore",
    "KeptRows",
    "TradeStudy",
    "Trades",
    "front",
    "kept",
    "load_study",
    "of",
    "study_of",
]
