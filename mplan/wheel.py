"""For the build alone: missions and workbooks, which lie beside the package, go into a wheel.

Named by pyproject.toml; nothing of mplan imports this, nor is it in need of mplan.
"""

from pathlib import Path
from shutil import copyfile

from setuptools.command.build_py import build_py

NAMES = ("scenarios", "workbooks")
ENDS = (".toml", ".ipynb", ".csv", ".json")


class WithShipped(build_py):
    """Build the package, then copy what ships with it to where mplan/shipped.py looks for it."""

    def run(self) -> None:
        """Copy; an editable install reads the folders where they are."""
        super().run()
        for source in [] if self.editable_mode else _shipped():
            place = Path(self.build_lib) / "mplan" / "shipped_data" / source
            place.parent.mkdir(parents=True, exist_ok=True)
            copyfile(source, place)

    def get_source_files(self) -> list[str]:
        """Return the files that a source distribution needs, those that ship among them."""
        return [*super().get_source_files(), *map(str, _shipped())]


def _shipped() -> list[Path]:
    files = (file for name in NAMES for file in Path(name).rglob("*") if file.suffix in ENDS)
    return sorted(file for file in files if not any(x.startswith(".") for x in file.parts))
