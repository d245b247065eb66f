"""JSON Schema of a programme file, for editors that complete and check as one types.

`python -m mplan.programme.schema` writes it beside this module.
"""

from __future__ import annotations

import json
from pathlib import Path

from mplan.programme.programme import Programme
from mplan.scenario.schema import of_table

FILE = Path(__file__).parent / "programme.schema.json"


def text() -> str:
    """Return what the schema file should hold."""
    schema = of_table(Programme, "mplan programme")
    return json.dumps(schema, indent=1, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    FILE.write_text(text(), encoding="utf-8")
