"""Put the missions and the workbooks, which lie beside the package, into a wheel.

Everything else stands in pyproject.toml.
"""

from pathlib import Path
from shutil import copytree, ignore_patterns

from setuptools import setup
from setuptools.command.build_py import build_py

HERE = Path(__file__).parent


class WithShipped(build_py):
    """Build the package, then copy what ships with it to where mplan/shipped.py looks for it."""

    def run(self) -> None:
        """Copy; an editable install reads the folders where they are."""
        super().run()
        if self.editable_mode:
            return
        for name in ("scenarios", "workbooks"):
            inside = Path(self.build_lib) / "mplan" / "shipped_data" / name
            copytree(HERE / name, inside, ignore=ignore_patterns(".*"), dirs_exist_ok=True)


setup(cmdclass={"build_py": WithShipped})
