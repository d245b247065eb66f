"""JSON Schema of a study file, for editors that complete and check as one types.

`python -m mplan.studies.trades.schema` writes it beside the package's other schemas.
"""

from __future__ import annotations

import json
from pathlib import Path

from mplan.scenario.schema import of_table
from mplan.studies.trades.models import StudyTable

FILE = Path(__file__).parents[2] / "study.schema.json"


def text() -> str:
    """Return what the schema file should hold."""
    schema = of_table(StudyTable, "mplan study")
    return json.dumps(schema, indent=1, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    FILE.write_text(text(), encoding="utf-8")
