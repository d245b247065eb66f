"""Reports: workbooks executed, as a page, notebooks, tables and data, in a folder."""

from mplan.report.comparison import write as write_comparison
from mplan.report.pdf import NoPdf
from mplan.report.pdf import write as print_page
from mplan.report.report import Report, make
from mplan.report.what_if import MOST_FLIGHTS

__all__ = ["MOST_FLIGHTS", "NoPdf", "Report", "make", "print_page", "write_comparison"]
