"""What a reader can try in the page of a report: changes that were flown when it was made."""

from mplan.report.what_if.combinations import MOST_FLIGHTS
from mplan.report.what_if.document import Document, fly, flying
from mplan.report.what_if.section import section

__all__ = ["MOST_FLIGHTS", "Document", "fly", "flying", "section"]
