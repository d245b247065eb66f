"""Imports go downwards only, from show to physics, layer by layer."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

import mplan

PACKAGE = Path(mplan.__file__).parent
# A module may import from its own layer and from those it stands on.
GROUND = {"physics", "scenario", "vehicle"}
FLOWN = GROUND | {"flight", "contingencies"}
JUDGED = FLOWN | {"checks", "plan"}
BELOW = {
    "cautions": set(),
    "physics": set(),
    "scenario": {"physics"},
    "transfer_results": {"cautions", "physics", "scenario"},
    "transfers": {"physics", "scenario", "transfer_results"},
    "vehicle": {"physics", "scenario"},
    "flight": GROUND,
    "contingencies": GROUND | {"flight"},
    "checks": FLOWN,
    "plan": FLOWN | {"checks"},
    "studies": JUDGED | {"transfers", "transfer_results"},
    "contract": JUDGED | {"cautions"},
    "oem": JUDGED | {"cautions"},
    "show": JUDGED | {"cautions", "studies", "contract", "transfers", "transfer_results"},
}
MODULES = sorted(PACKAGE.rglob("*.py"))
# Entry points and what they share, free to use all layers.
ON_TOP = ("cli.py", "lab.py", "report.py", "report_page.py", "kernel.py", "workbooks.py")
ON_TOP += ("windows_page.py", "__init__.py")
LAYERED = [x for x in MODULES if x.relative_to(PACKAGE).parts[0] not in ON_TOP]


def imported(file: Path) -> set[str]:
    """Names of mplan's own modules that a file imports, `mplan.` left off."""
    found = set()
    for node in ast.walk(ast.parse(file.read_text("utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module and node.module.startswith("mplan"):
            base = node.module.removeprefix("mplan").removeprefix(".")
            found |= {f"{base}.{x.name}".strip(".") for x in node.names}
        elif isinstance(node, ast.Import):
            names = [x.name for x in node.names if x.name.startswith("mplan.")]
            found |= {name.removeprefix("mplan.") for name in names}
    return found


def allowed(name: str, layer: str) -> bool:
    return any(
        name == below or name.startswith(f"{below}.")
        for below in BELOW[layer] | {layer, "__version__"}
    )


@pytest.mark.parametrize("file", LAYERED, ids=lambda file: str(file.relative_to(PACKAGE)))
def test_imports_downwards(file: Path):
    """No module imports from a layer above its own."""
    layer = file.relative_to(PACKAGE).parts[0].removesuffix(".py")
    assert not {name for name in imported(file) if not allowed(name, layer)}


def test_the_rule_can_fail():
    """The check itself tells an upward import from a downward one."""
    assert not allowed("show.tables", "flight")
    assert not allowed("vehicle.mass", "scenario")
    assert not allowed("checks.escape", "contingencies")
    assert allowed("physics.propellants", "scenario")
    assert allowed("physics.constants", "show")


# What display may use of physics: units, and vectors for the axes of a view. `provenance` asks
# which libraries and integrator are there. Of the flight it reads records and says how they read.
DISPLAY = ("physics.constants", "physics.vectors")
READING = ("flight.ascent.kept", "flight.entry.aimed_range")
SHOWN = [x for x in LAYERED if x.relative_to(PACKAGE).parts[0] == "show"]


def flies(name: str) -> bool:
    """Whether a name that display imports is a function or module of physics or of the flight."""
    hall, leaf = name.split(".")[0], name.split(".")[-1]
    if hall not in ("physics", "flight") or not leaf[0].islower():
        return False  # classes and constants describe what was flown
    return not name.startswith(DISPLAY) and name not in READING


@pytest.mark.parametrize("file", SHOWN, ids=lambda file: str(file.relative_to(PACKAGE)))
def test_display_flies_nothing(file: Path):
    """No module of show integrates, solves or flies: that is what studies are for."""
    known = {"physics.arcs.lambert", "physics.arcs.nbody"} if file.stem == "provenance" else set()
    assert {name for name in imported(file) if flies(name)} == known


def test_the_rule_of_display_can_fail():
    """A leg or an integrator is told from a record or a unit."""
    assert flies("physics.arcs.nbody")
    assert flies("physics.entry.flight.fly")
    assert flies("flight.entry.come_down")
    assert not flies("flight.entry.Entry")
    assert not flies("physics.constants.DEG")


def test_importing_mplan_is_light():
    """`import mplan` brings in none of the heavy libraries: they come when they are needed."""
    heavy = ("numpy", "scipy", "pandas", "plotly", "numba", "astropy", "heyoka", "matplotlib")
    code = f"import mplan, sys; print([x for x in {heavy} if x in sys.modules])"
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"


def test_one_place_names_the_orbit_library():
    """poliastro and its continuation are reached through mplan/physics/arcs/lambert.py alone."""
    libraries = ('"poliastro"', '"boinor"', "import poliastro", "import boinor", "from boinor")
    users = [x.name for x in MODULES if any(y in x.read_text("utf-8") for y in libraries)]
    assert users == ["lambert.py"]
