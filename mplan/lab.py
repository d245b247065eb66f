"""JupyterLab on a working copy of the workbooks: on this machine only, and silent outwards."""

from __future__ import annotations

import json
import os
import socket
import subprocess
import sys
from collections.abc import Callable, Mapping
from contextlib import suppress
from pathlib import Path
from secrets import token_hex
from time import sleep

import nbformat
from jupyter_core.paths import jupyter_runtime_dir

from mplan import kernel, shipped, workbooks, writing
from mplan.commands.exit_codes import STOPPED
from mplan.programme import load_programme
from mplan.scenario import Problem, ScenarioError, load
from mplan.show.drawn import in_lab
from mplan.workbooks import Subject

HOST = "127.0.0.1"
PATIENCE = 20.0  # s for a server to end its kernels
LOOK = 0.1  # s between looks whether a server has started
ERRORS = "--log-level=ERROR"  # of a server or a kernel: what is written of its log
WORK = "mplan-work"  # the working folder, where none is named
FIRST: dict[Subject, Callable[[], Path]] = {  # what workbooks are on, where no file is named
    "SCENARIO": lambda: shipped.missions()["first_landing"],
    "PROGRAMME": lambda: shipped.programmes()["cornice"],
}
SETTINGS = {
    # No news, no updates: nothing is asked of any server.
    "@jupyterlab/apputils-extension/notification.jupyterlab-settings": {
        "fetchNews": "false",
        "checkForUpdates": False,
    }
}


def start(
    scenario: str | os.PathLike[str] | None = None,
    *,
    programme: str | os.PathLike[str] | None = None,
    folder: str | os.PathLike[str] | None = None,
    port: int | None = None,
    browser: bool = True,
    log: bool = False,
) -> int:
    """Serve JupyterLab until it is stopped, and return its exit code.

    Its address is printed, in one line; of its `log` errors alone, unless all of it is asked for.

    The workbooks are copied into `folder` (mplan-work, here, if none is named); what is there
    already is kept; a `scenario` that is given is named in those about a mission, a `programme` in
    those about one, where nobody set anything else. A programme without a scenario opens its own
    workbook. Raises ScenarioError for a file that cannot be used, for workbooks that are not there
    and for a port in use.
    """
    if scenario is not None:
        load(scenario)
    if programme is not None:
        load_programme(programme)
    if port is not None:
        _refuse_taken(port)
    place = Path(folder or WORK).resolve()
    if folder is None:  # copies, among whatever else is kept here
        _ignored(place)
    given: dict[Subject, Path] = {}
    if scenario is not None:
        given["SCENARIO"] = Path(scenario)
    if programme is not None:
        given["PROGRAMME"] = Path(programme)
    books = copied(place, given, _say)
    private = _private(place / ".lab")
    about_all = programme is not None and scenario is None
    opened = (workbooks.of_a_programme if about_all else workbooks.of_a_mission)(books)[0]
    return _serve(_command(place, opened, port, browser, log), {**os.environ, **private}, opened)


def copied(
    place: Path,
    given: Mapping[Subject, Path],
    say: Callable[[str], None] = lambda text: None,
) -> list[Path]:
    """Copy the workbooks into a folder, those apart that are there, and set the files they are on.

    A copy in which people set something of their own names the file that it named; `say` is told.
    Lessons are copied too, each about its own file; the workbooks alone are returned.
    """
    sources = workbooks.all_in(workbooks.folder())
    place.mkdir(parents=True, exist_ok=True)
    copies = []
    for source in sources:
        copy = place / source.name
        about = workbooks.subject(source)
        if not copy.exists():
            _set(source, source, copy, given.get(about) or FIRST[about]())
        elif about in given and not _set(copy, source, copy, given[about]):
            say(f"{copy}: kept as it is, for its values are your own; it names its own file")
        copies.append(copy)
    for source in workbooks.lessons(workbooks.folder()):
        _copy_lesson(source, place / workbooks.LESSONS / source.name)
    return copies


def _copy_lesson(source: Path, copy: Path) -> None:
    """Copy a lesson that is not there yet; it stays about the file that it is written for."""
    if not copy.exists():
        copy.parent.mkdir(exist_ok=True)
        _set(source, source, copy, workbooks.named(source) or source)


def _set(read: Path, source: Path, copy: Path, file: Path) -> bool:
    """Write a workbook as a copy that names a file; return False where it may not be touched.

    Where it names it already, and where it cannot be read, nothing is written.
    """
    try:
        book = workbooks.read(read)
    except ValueError:  # of which nbformat makes everything that is no notebook
        return False
    before = nbformat.writes(book)
    named = workbooks.set_path(book, workbooks.read(source), file.resolve().as_posix())
    after = nbformat.writes(book)
    if named and (after != before or not copy.exists()):
        writing.write(copy, after + "\n")
    return named


def _say(text: str) -> None:
    print(text, file=sys.stderr)


def _refuse_taken(port: int) -> None:
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((HOST, port))
        except (OSError, OverflowError) as problem:
            text = f"found {port}, which cannot be had ({problem}); accepted: a free port, or none"
            raise ScenarioError([Problem("--port", "", text)]) from problem


def _private(place: Path) -> dict[str, str]:
    """Make settings and a kernel of this Python, and return the environment that uses them."""
    _ignored(place)
    for name, values in SETTINGS.items():
        _write(place / "settings" / name, values)
    write_extension(place / "data")
    spec = {"argv": [*kernel.COMMAND, ERRORS], "display_name": "Python 3", "language": "python"}
    _write(place / "data" / "kernels" / "python3" / "kernel.json", spec)
    data = [str(place / "data"), *filter(None, [os.environ.get("JUPYTER_PATH")])]
    return {
        "JUPYTERLAB_SETTINGS_DIR": str(place / "settings"),
        "JUPYTERLAB_WORKSPACES_DIR": str(place / "workspaces"),
        "JUPYTER_PATH": os.pathsep.join(data),
        "JUPYTER_TOKEN": token_hex(),  # one of its own making it would write into its log
    }


def write_extension(data: Path) -> None:
    """Write what draws pictures in JupyterLab into a folder of its data, over an older one."""
    for name, text in in_lab.files().items():
        (data / name).parent.mkdir(parents=True, exist_ok=True)
        writing.write(data / name, text)


def _ignored(place: Path) -> None:
    """Keep a folder out of git, unless it is there with a .gitignore of its own."""
    file = place / ".gitignore"
    if not file.exists():
        place.mkdir(parents=True, exist_ok=True)
        writing.write(file, "*\n")


def _write(path: Path, values: Mapping[str, object]) -> None:
    """Write a settings file, unless it is there: people may have changed it."""
    if not path.exists():
        path.parent.mkdir(parents=True, exist_ok=True)
        writing.write(path, json.dumps(values, indent=2))


def _command(place: Path, book: Path, port: int | None, browser: bool, log: bool) -> list[str]:
    fixed = [] if port is None else [f"--ServerApp.port={port}", "--ServerApp.port_retries=0"]
    return [
        *(sys.executable, "-m", "jupyterlab"),
        f"--ServerApp.ip={HOST}",
        f"--ServerApp.root_dir={place}",
        f"--LabApp.default_url=/lab/tree/{book.name}",
        "--LabApp.news_url=None",
        "--LabApp.check_for_updates_class=jupyterlab.NeverCheckForUpdate",
        "--LabApp.extension_manager=readonly",
        "--ServerApp.answer_yes=True",
        "--ServerApp.allow_root=True",  # containers; it listens to this machine alone
        *fixed,
        *([] if log else [ERRORS, "--LabApp.log_level=ERROR"]),
        *([] if browser else ["--no-browser"]),
    ]


def _serve(command: list[str], environment: dict[str, str], book: Path) -> int:
    """Run the server until it ends; what stops us stops it, and lets it end its kernels first."""
    # A session of its own: Ctrl-C comes to us alone, and goes on from here as one request to end.
    with subprocess.Popen(command, env=environment, start_new_session=True) as server:
        try:
            if address := _address(server):
                token = environment["JUPYTER_TOKEN"]
                print(f"{address}lab/tree/{book.name}?token={token} (Ctrl-C ends it)", flush=True)
            return server.wait()
        except KeyboardInterrupt:
            _end(server)
            return STOPPED


def _address(server: subprocess.Popen[bytes]) -> str:
    """Wait until the server listens, and return where; "" if it ends before."""
    told = Path(jupyter_runtime_dir()) / f"jpserver-{server.pid}.json"
    while server.poll() is None:
        with suppress(OSError, json.JSONDecodeError):  # not there yet, or being written
            return json.loads(told.read_text("utf-8"))["url"]
        sleep(LOOK)
    return ""


def _end(server: subprocess.Popen[bytes]) -> None:
    """Ask the server to end, and make it end where it does not, or where we are asked again."""
    server.terminate()
    try:
        server.wait(PATIENCE)
    except (subprocess.TimeoutExpired, KeyboardInterrupt):
        server.kill()
