"""The folder about two plans side by side: a page that opens offline, tables and data."""

from __future__ import annotations

import json
import os
from pathlib import Path

from mplan import writing
from mplan.cautions import CAUTIONS
from mplan.comparing import Comparison
from mplan.report.files import write_tables
from mplan.report.page import comparison_page
from mplan.show import comparing

PAGE = "comparison.html"


def write(comparison: Comparison, to: str | os.PathLike[str]) -> Path:
    """Write page, tables and JSON of a comparison into the folder `to`; return the page.

    As with a mission's report, the folder is there whole or not at all.
    """
    target = Path(to).resolve()
    with writing.replacing_folder(target, last=PAGE) as place:
        (place / PAGE).write_text(comparison_page(comparison), encoding="utf-8")
        told = json.dumps(comparing.document(comparison), indent=2, ensure_ascii=False)
        (place / "comparison.json").write_text(f"{told}\n", encoding="utf-8")
        frames = comparing.everything(comparison, every=True)
        tables = {f"comparison_{title.lower()}": frame for title, frame in frames.items()}
        write_tables(tables, CAUTIONS, place / "tables" / "comparison.xlsx")
    return target / PAGE
