"""A folder to work in: missions, the hardware that they share, engines, workbooks, schemas.

Its inside is that of a checkout, so that every path in a scenario or workbook holds.
"""

from __future__ import annotations

import errno
import os
import re
from pathlib import Path

from mplan import shipped, writing

IGNORED = (".ipynb_checkpoints/", ".lab/", ".virtual_documents/", "__pycache__/", "mplan-work/")
SCHEMAS = "schemas"  # for editors that check and complete TOML


def lay_out(target: str | os.PathLike[str]) -> Path:
    """Make the folder and return its path; where it is there, it must be empty.

    Raises OSError, with nothing made, where it is not, or cannot be.
    """
    place = Path(target).resolve()
    if place.is_dir() and any(place.iterdir()):
        raise OSError(errno.ENOTEMPTY, "is not empty; accepted: a new or empty one", str(target))
    with writing.replacing_folder(target) as beside:
        for source in _shipped():
            _copy(source, beside / source.parent.relative_to(_top(source)) / source.name)
        for written in ("scenario/*.schema.json", "programme/*.schema.json", "study.schema.json"):
            for schema in shipped.PACKAGE.glob(written):
                _copy(schema, beside / SCHEMAS / schema.name)
        ignored = "# what JupyterLab and Python leave behind\n" + "\n".join(IGNORED) + "\n"
        (beside / ".gitignore").write_text(ignored, "utf-8")
    return place


def _shipped() -> list[Path]:
    """Return the missions, what they share, and the workbooks."""
    missions = [path for end in ("*.toml", "*.csv", "*.json") for path in _files("scenarios", end)]
    books = [
        path for name in ("[0-9]*", "glossary") for path in _files("workbooks", f"{name}.ipynb")
    ]
    return [*missions, *books]


def _files(name: str, pattern: str) -> list[Path]:
    return sorted(path for path in shipped.folder(name).rglob(pattern) if path.is_file())


def _top(source: Path) -> Path:
    """Return the folder above that of the kit which a file lies in."""
    names = ("scenarios", "workbooks")
    return next(shipped.folder(x).parent for x in names if shipped.folder(x) in source.parents)


def _copy(source: Path, place: Path) -> None:
    place.parent.mkdir(parents=True, exist_ok=True)
    text = source.read_bytes().decode("utf-8")
    # The schema that an editor looks up stands in the first line, as seen from a checkout.
    text = re.sub(r"\A(#:schema .*)\bmplan/(?:(?:scenario|programme)/)?", rf"\1{SCHEMAS}/", text)
    place.write_bytes(text.encode("utf-8"))
