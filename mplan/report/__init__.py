"""Reports: workbooks executed, as a page, notebooks, tables and data, in a folder."""

from mplan.report.comparison import write as write_comparison
from mplan.report.report import Report, make

__all__ = ["Report", "make", "write_comparison"]
