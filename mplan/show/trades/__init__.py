"""What cells and commands show of a study of many missions: tables, a picture, files."""

from __future__ import annotations

from mplan.show.trades.files import csv_text, parquet
from mplan.show.trades.picture import drawing, fronts
from mplan.show.trades.tables import best, cases, frame
from mplan.show.trades.words import summary

__all__ = ["best", "cases", "csv_text", "drawing", "frame", "fronts", "parquet", "summary"]
