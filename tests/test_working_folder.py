"""The folder that `mplan new` lays out, from a checkout and from a wheel."""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
import sys
from importlib.util import find_spec
from pathlib import Path
from urllib.request import Request, urlopen

import pytest

import mplan
from mplan import cli, shipped

ROOT = Path(__file__).parent.parent


def test_everything_is_there_and_loads(tmp_path, capsys):
    """Missions, elements, engines, workbooks and schemas; each mission reads as the kit's does."""
    place = tmp_path / "moon"
    assert cli.main(["new", str(place)]) == 0
    assert "mplan brief" in capsys.readouterr().out
    for name, path in shipped.missions().items():
        copy = mplan.load(place / "scenarios" / f"{name}.toml")
        assert copy.hash == mplan.load(path).hash
        assert copy.from_kit == ()
    for room in ("workbooks", "workbooks/lessons"):
        books = {path.name for path in (place / room).glob("*.ipynb")}
        assert books == {
            path.name for path in (shipped.folder("workbooks").parent / room).glob("*.ipynb")
        }
    assert [path.name for path in tmp_path.iterdir()] == ["moon"]


def test_editors_find_the_schemas(tmp_path):
    """The first line of each file leads to a schema of the folder."""
    cli.main(["new", str(tmp_path / "moon")])
    files = list((tmp_path / "moon" / "scenarios").rglob("*.toml"))
    assert len(files) > 20
    for file in files:
        schema = file.read_text("utf-8").splitlines()[0].removeprefix("#:schema ")
        assert (file.parent / schema).is_file(), file


def test_a_folder_in_use_is_refused(tmp_path, capsys):
    (tmp_path / "mine").write_text("mine")
    assert cli.main(["new", str(tmp_path)]) == 2
    assert capsys.readouterr().err == f"{tmp_path}: is not empty; accepted: a new or empty one\n"
    assert [path.name for path in tmp_path.iterdir()] == ["mine"]


def test_an_empty_folder_is_used(tmp_path):
    assert cli.main(["new", str(tmp_path)]) == 0
    names = {path.name for path in tmp_path.iterdir()}
    assert names == {".gitignore", "scenarios", "schemas", "workbooks"}


@pytest.fixture(scope="module")
def installed(tmp_path_factory):
    """The wheel, built and unpacked where nothing of the checkout lies beside it."""
    top = tmp_path_factory.mktemp("wheel")
    pip = [sys.executable, "-m", "pip", "-q", "--disable-pip-version-check"]
    source = top / "source"
    names = subprocess.run(
        ["git", "ls-files", "-co", "--exclude-standard"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    ).stdout.split("\n")
    for name in filter(lambda x: x and not x.startswith("tests/"), names):
        if (ROOT / name).is_file():
            (source / name).parent.mkdir(parents=True, exist_ok=True)
            (source / name).write_bytes((ROOT / name).read_bytes())
    own = ["--no-build-isolation"] if find_spec("setuptools") else []  # else pip fetches it
    build = ["wheel", "--no-deps", *own, "-w", str(top), str(source)]
    subprocess.run([*pip, *build], check=True, capture_output=True)
    [wheel] = top.glob("*.whl")
    place = top / "site"
    install = ["install", "--no-deps", "--no-index", "--target", str(place), str(wheel)]
    subprocess.run([*pip, *install], check=True, capture_output=True)
    return place


def ran(installed: Path, folder: Path, *arguments: str) -> str:
    """Run a command of the installed wheel in a folder, and return what it prints."""
    command = [sys.executable, "-m", "mplan.cli", *arguments]
    environment = {**os.environ, "PYTHONPATH": str(installed)}
    run = subprocess.run(command, cwd=folder, env=environment, capture_output=True, text=True)
    assert run.returncode in (0, 1), run.stderr
    return run.stdout


def test_from_a_wheel(installed, tmp_path):
    """Outside a checkout: a folder is laid out, its mission flies, the commands are there."""
    ran(installed, tmp_path, "new", "moon")
    assert "First Landing" in ran(installed, tmp_path, "brief", "moon/scenarios/first_landing.toml")
    assert "Dimity-9" in ran(installed, tmp_path, "engines", "--catalogue")
    assert "--folder" in ran(installed, tmp_path, "lab", "--help")
    code = "from mplan import workbooks; print(workbooks.folder())"
    environment = {**os.environ, "PYTHONPATH": str(installed)}
    run = [sys.executable, "-c", code]
    found = subprocess.check_output(run, cwd=tmp_path, env=environment, text=True)
    books = Path(found.strip())
    assert books == installed / "mplan" / "shipped_data" / "workbooks"
    assert len(list((books / "lessons").glob("*.ipynb"))) == 4


def test_lab_from_a_wheel(installed, tmp_path):
    """One line tells where JupyterLab listens; its workbooks and a kernel are there; it ends."""
    command = [sys.executable, "-m", "mplan", "lab", "--no-browser", "--folder", "work"]
    places = {"PYTHONPATH": str(installed), "JUPYTER_RUNTIME_DIR": str(tmp_path / "runtime")}
    with subprocess.Popen(
        command, cwd=tmp_path, env={**os.environ, **places}, stdout=subprocess.PIPE, text=True
    ) as run:
        told = run.stdout.readline().split()[0]
        top, token = re.fullmatch(r"(http://127\.0\.0\.1:\d+/).*\?token=(\w+)", told).groups()
        books = asked(f"{top}api/contents/lessons", token)["content"]
        assert {"1_leaving_for_the_moon.ipynb", "glossary.ipynb"} <= {x["name"] for x in books}
        assert asked(f"{top}api/kernels", token, b"{}")["name"] == "python3"
        run.send_signal(signal.SIGINT)
        assert run.wait(60) == 130
        assert run.stdout.read() == ""


def asked(address: str, token: str, data: bytes | None = None) -> dict:
    """Return what the server answers."""
    request = Request(address, data, {"Authorization": f"token {token}"})
    with urlopen(request, timeout=60) as answer:
        return json.load(answer)
