"""Where what a command has to say goes: a file, standard output, or the complaints."""

from __future__ import annotations

import json
import sys

from mplan import lettering, writing


def complain(problem: object) -> None:
    """Print a problem on standard error, its letters safe for a terminal."""
    print(lettering.terminal(str(problem)), file=sys.stderr)


def write(path: str, text: str) -> None:
    """Write text to a file; - is standard output."""
    if path == "-":
        sys.stdout.write(text)
    else:
        writing.write(path, text)


def write_json(path: str, document: object) -> None:
    """Write a document as JSON to a file; - is standard output."""
    write(path, json.dumps(document, indent=2, ensure_ascii=False) + "\n")
