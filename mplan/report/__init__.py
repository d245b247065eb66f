"""Reports: workbooks executed, as a page, notebooks, tables and data, in a folder."""

from mplan.report.report import Report, make

__all__ = ["Report", "make"]
