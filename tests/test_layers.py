"""Imports go downwards only, from show to physics, layer by layer."""

from __future__ import annotations

import ast
import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest

import mplan
from mplan.scenario.profiles import NEEDS

PACKAGE = Path(mplan.__file__).parent
# A module may import from its own layer and from those it stands on.
GROUND = {"physics", "scenario", "vehicle"}
FLOWN = GROUND | {"flight", "contingencies"}
JUDGED = FLOWN | {"checks", "plan"}
BELOW = {
    "cautions": set(),
    "process": set(),
    "writing": set(),
    "lettering": set(),
    "shipped": set(),
    "physics": {"writing"},  # for what it keeps compiled
    "scenario": {"physics", "shipped", "writing"},
    "transfer_results": {"cautions", "physics", "scenario"},
    "transfers": {"physics", "scenario", "transfer_results"},
    "calculations": {"physics", "scenario", "transfer_results"},
    "vehicle": {"physics", "scenario"},
    "flight": GROUND,
    "contingencies": GROUND | {"flight"},
    "checks": FLOWN,
    "plan": FLOWN | {"checks"},
    "glancing": JUDGED | {"process"},
    "studies": JUDGED
    | {"comparing", "calculations", "process", "transfers", "transfer_results", "writing"},
    "comparing": JUDGED,
    "programme": JUDGED | {"studies", "writing"},  # for windows that it keeps
    "contract": JUDGED | {"cautions"},
    "oem": JUDGED | {"cautions", "lettering"},
    "show": JUDGED
    | {
        "cautions",
        "lettering",
        "studies",
        "comparing",
        "programme",
        "process",
        "contract",
        "calculations",
        "transfers",
        "transfer_results",
        "glancing",
    },
    "lessons": JUDGED | {"show", "studies", "comparing", "transfers", "transfer_results"},
}
MODULES = sorted(PACKAGE.rglob("*.py"))
# Entry points and what they share, free to use all layers.
ON_TOP = ("cli.py", "lab.py", "report", "kernel.py", "workbooks.py")
ON_TOP += (
    "commands",
    "windows_page.py",
    "study_page.py",
    "given.py",
    "wheel.py",
    "stopping.py",
    "__main__.py",
    "working_folder.py",
    "__init__.py",
)
LAYERED = [x for x in MODULES if x.relative_to(PACKAGE).parts[0] not in ON_TOP]


@cache
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


def test_the_start_brings_in_no_ways_out():
    """Whoever flies a plan does not wait for what looks at its ways out: a tenth of a second."""
    code = "import sys, mplan.plan; print([x for x in sys.modules if 'ways_out' in x])"
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert ran.stdout.strip() == "[]"


# What display may use of physics: units, vectors for the axes of a view, and that it runs fast.
# `provenance` asks which libraries and integrator are there. Of the flight it reads records and
# says how they read.
DISPLAY = ("physics.constants", "physics.vectors", "physics.compiling")
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
    assert flies("physics.entry.entry_flight.fly_entry")
    assert flies("flight.entry.come_down")
    assert not flies("flight.entry.Entry")
    assert not flies("physics.constants.DEG")


def test_importing_mplan_is_light():
    """`import mplan` brings in none of the heavy libraries: they come when they are needed."""
    heavy = ("numpy", "scipy", "pandas", "plotly", "numba", "astropy", "heyoka", "matplotlib")
    code = f"import mplan, sys; print([x for x in {heavy} if x in sys.modules])"
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"


def test_flying_and_judging_bring_in_no_scipy():
    """It takes half a second of every start; functions that need it bring it in themselves."""
    code = "import mplan.plan, sys; print([x for x in ('scipy', 'pandas') if x in sys.modules])"
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"


def test_one_place_names_the_orbit_library():
    """poliastro and its continuation are reached through mplan/physics/arcs/lambert.py alone."""
    libraries = ('"poliastro"', '"boinor"', "import poliastro", "import boinor", "from boinor")
    users = [x.name for x in MODULES if any(y in x.read_text("utf-8") for y in libraries)]
    assert users == ["lambert.py"]


PHYSICS = PACKAGE / "physics"
ROOMS = sorted(x.parent for x in PHYSICS.glob("*/__init__.py"))
ROOMS += [PACKAGE / "show" / "drawn", PACKAGE / "show" / "panels", PACKAGE / "commands"]
# Folders whose files await rooms of their own: no more are to be added.
CROWDED = {"scenario": 40, "checks": 26, "flight": 24, "studies": 24}
FLAT = {
    "constants",
    "propellants",
    "rocket",
    "roots",
    "targeting",
    "twobody",
    "vectors",
    "compiling",
    "numba_bridge",
}


def open_modules(room: Path) -> set[str]:
    """Names of the modules that a room lets others import."""
    for node in ast.parse((room / "__init__.py").read_text("utf-8")).body:
        if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == "__all__":
            return set(ast.literal_eval(node.value))
    return set()


def intruders(room: Path, files: list[Path]) -> set[tuple[str, str]]:
    """Files outside a room, with the module of it that they import though it is not listed."""
    prefix = ".".join(room.relative_to(PACKAGE).parts) + "."
    return {
        (file.name, name)
        for file in files
        if room not in file.parents
        for name in imported(file)
        if name.startswith(prefix)
        and name.removeprefix(prefix).split(".")[0] not in open_modules(room)
    }


@pytest.mark.parametrize("room", ROOMS, ids=lambda room: room.name)
def test_a_room_is_entered_by_what_it_lists(room: Path):
    """Modules that a room's `__all__` names exist; nobody outside imports another one."""
    assert open_modules(room) <= {x.stem for x in room.glob("*.py")}
    assert open_modules(room)
    assert not intruders(room, MODULES)


def test_an_unlisted_module_is_noticed(tmp_path: Path):
    """The rule can fail: a file that reaches into a room is told."""
    file = tmp_path / "intruder.py"
    file.write_text("from mplan.physics.climb import course\n", "utf-8")
    assert intruders(PHYSICS / "climb", [file]) == {("intruder.py", "physics.climb.course")}


def test_the_hall_of_physics_holds_what_all_rooms_share():
    """Topics have rooms; flat in `physics` is only what every one of them may need."""
    assert {x.stem for x in PHYSICS.glob("*.py")} - {"__init__"} == FLAT


def test_no_folder_is_crowded():
    """Some 20 files a folder; those that hold more already get no further ones."""
    for folder in {x.parent for x in MODULES}:
        most = CROWDED.get(folder.name, 21)
        assert len(list(folder.glob("*.py"))) <= most, folder


def classes(top: Path) -> dict[str, list[str]]:
    """Where each class and public function of a folder is defined, by its name."""
    found: dict[str, list[str]] = {}
    for file in sorted(top.rglob("*.py")):
        for node in ast.parse(file.read_text("utf-8")).body:
            if isinstance(node, (ast.ClassDef, ast.FunctionDef)) and node.name[0] != "_":
                found.setdefault(node.name, []).append(str(file.relative_to(top)))
    return found


# Two integrators behind one function each, which take the same arguments and give the same.
BACK_ENDS = {"fly_arc", "fly_abreast", "path", "fly_burn"}


def test_a_name_means_one_thing_in_physics():
    """No two classes or public functions of one name."""
    shared = {name for name, places in classes(PHYSICS).items() if len(places) > 1}
    assert shared == BACK_ENDS


def test_a_class_name_means_one_thing():
    """No two classes of one name in the whole package."""
    named = [
        node.name
        for file in MODULES
        for node in ast.parse(file.read_text("utf-8")).body
        if isinstance(node, ast.ClassDef)
    ]
    assert len(named) > 200
    assert [name for name in sorted(set(named)) if named.count(name) > 1] == []


def compares_profile(node: ast.AST) -> bool:
    """Whether a comparison or a `match` asks what a profile is called."""
    if isinstance(node, ast.Match):
        return "profile" in ast.unparse(node.subject)
    return isinstance(node, ast.Compare) and any(
        isinstance(op, ast.Eq | ast.NotEq | ast.In | ast.NotIn)
        and ast.unparse(side).split(".")[-1].rstrip("]'\")") in ("profile", "get('profile")
        for op in node.ops
        for side in (node.left, *node.comparators)
    )


@pytest.mark.parametrize("file", MODULES, ids=lambda file: str(file.relative_to(PACKAGE)))
def test_nothing_asks_what_a_profile_is_called(file: Path):
    """A leg, a check or a table asks keys, events or the state; only the profiles know names."""
    room = PACKAGE / "scenario" / "profiles"
    text = file.read_text("utf-8")
    if room in file.parents:
        return
    assert not [x.lineno for x in ast.walk(ast.parse(text)) if compares_profile(x)]
    assert not [name for name in NEEDS if f'"{name}"' in text]


def test_a_profile_asked_for_is_noticed():
    """The rule can fail: each way to compare a profile's name is told."""
    asked = ('x.mission.profile == "a"', 'profile in ("a", "b")', 'mission.get("profile") != A')
    for text in asked:
        assert any(compares_profile(node) for node in ast.walk(ast.parse(text)))
    assert not any(map(compares_profile, ast.walk(ast.parse("NEEDS[mission.profile].steps"))))
