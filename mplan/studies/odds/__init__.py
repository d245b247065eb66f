"""How likely a plan holds: many missions drawn by [dispersions], each flown as planned."""

from mplan.studies.odds.chances import ENOUGH, Probability
from mplan.studies.odds.drivers import Driven, Driver
from mplan.studies.odds.odds import MISSIONS, MOST, of
from mplan.studies.odds.summary import BurnOdds, LimitOdds, Odds, ScatteredFigure, TankNeed

__all__ = [
    "ENOUGH",
    "MISSIONS",
    "MOST",
    "BurnOdds",
    "Driven",
    "Driver",
    "LimitOdds",
    "Odds",
    "Probability",
    "ScatteredFigure",
    "TankNeed",
    "of",
]
