"""What comes with the kit: missions with their hardware, and workbooks.

In a checkout they lie beside the package; a wheel carries them inside it, as `mplan/shipped_data`.
"""

from __future__ import annotations

from pathlib import Path

PACKAGE = Path(__file__).resolve().parent
INSIDE = PACKAGE / "shipped_data"  # filled when a wheel is built (wheel.py)
SHARED = ("elements", "engines", "parts", "winds")  # folders of what missions share


def folder(name: str) -> Path:
    """Return the folder `scenarios` or `workbooks`, which need not be there."""
    inside = INSIDE / name
    return inside if inside.is_dir() else PACKAGE.parent / name


def missions() -> dict[str, Path]:
    """Return the scenario files by the name that people give for one."""
    return {path.stem: path for path in sorted(folder("scenarios").glob("*.toml"))}


def programmes() -> dict[str, Path]:
    """Return the programme files by the name that people give for one."""
    return {path.stem: path for path in sorted(folder("scenarios").glob("programmes/*.toml"))}


def studies() -> dict[str, Path]:
    """Return the study files by the name that people give for one."""
    return {path.stem: path for path in sorted(folder("scenarios").glob("studies/*.toml"))}


def shared(file: Path) -> Path | None:
    """Return the file of the shared hardware that has the last two names of `file`, if any."""
    if file.parent.name not in SHARED:
        return None
    found = folder("scenarios") / file.parent.name / file.name
    return found if found.is_file() else None


def engines(own: Path) -> Path:
    """Return a folder of engines: `own`, where there are any, else that of the kit."""
    return own if any(own.glob("*.toml")) else folder("scenarios") / "engines"
