"""Missions as unlike one another as can be, each through brief, JSON, OEM, windows and report.

The report's workbooks are executed in this process, which takes a fraction of a kernel's time:
`test_workbooks` and `test_report` execute those of the demo in kernels.
"""

from __future__ import annotations

import ast
import io
import json
import os
import re
import shutil
from importlib.resources import files
from pathlib import Path

import jsonschema
import nbformat
import pytest
from IPython.core.formatters import DisplayFormatter

import mplan
from mplan import cli, kernel, oem, report, workbooks
from mplan.contract import as_json
from mplan.report import what_if
from mplan.show.notebook import Words
from mplan.show.panels import in_cell
from mplan.show.panels.controls import ChoiceControl, SliderControl, SwitchedControl
from mplan.show.panels.in_cell import Study
from mplan.show.panels.panel import Panel
from mplan.show.terminal import print_brief
from mplan.studies import windows
from mplan.studies.executors import choice
from mplan.studies.executors.in_process import InProcess

MISSIONS = Path(__file__).parent / "missions"
SCENARIOS = Path(__file__).parent.parent / "scenarios"
SIX = (
    "polar_landing",
    "limb_landing",
    "far_side_landing",
    "northern_landing",
    "low_orbit",
    "single_flyby",
)
# high_ellipse is orbit_and_return in another orbit, one_more_day the demo but for a stay.
SHIPPED = ("high_ellipse", "round_the_moon")
DAYS = 2  # of launch windows
FEW = 12  # flights of changed missions
NOT_SHOWN = "Not shown: "
SHOWN = ("example", "examples")  # keywords of what a schema shows

each_of_six = pytest.mark.parametrize("name", SIX)


class Hasty:
    """Somebody who presses Stop at a study's first sign of progress."""

    def __init__(self):
        self.told = False

    def progress(self, done, total):
        self.told = True

    def fill(self, found):
        pass

    def say(self, best):
        pass

    def stopped(self):
        return self.told


class Shell:
    """Executes the cells of a workbook as a kernel does, in this process; keeps what they show."""

    def __init__(self):
        self.shown = {}
        self.begun = []  # studies of many flights, with picture and words of what they came to
        self.format = DisplayFormatter().format

    def begin(self, study):
        """Stand in for `in_cell.run`: a study flies until it first tells of progress."""
        picture, words, _ = study.shown(study.work(Hasty()))
        self.begun.append((study, self.format(picture), self.format(words)))

    def execute_all(self, books, folder, done=lambda done, total, name: None, *, skip=""):
        """Stand in for `kernel.execute_all`."""
        home = Path.cwd()
        os.chdir(folder)  # from where the workbooks find their scenario
        try:
            return {name: self.executed(book, skip) for name, book in books.items()}
        finally:
            os.chdir(home)

    def executed(self, book, skip):
        names = {}
        code = [cell for cell in book.cells if cell.cell_type == "code"]
        for number, cell in enumerate(code, 1):
            if skip in cell.metadata.get("tags", ()):
                continue
            cell.execution_count = number
            try:
                value = self.run(cell.source, names)
                self.shown[book.cells[0].source.splitlines()[0], cell.id] = value
                cell.outputs = self.outputs(value, number)
            except Exception as problem:
                error = {"ename": type(problem).__name__, "evalue": str(problem), "traceback": []}
                cell.outputs = [nbformat.v4.new_output("error", **error)]
        return tuple(map(str, kernel.failed_cells(book)))

    def run(self, source, names):
        """Return the value of the cell's last line, if that is an expression."""
        tree = ast.parse(source)
        last = tree.body.pop() if isinstance(tree.body[-1], ast.Expr) else None
        exec(compile(tree, "cell", "exec"), names)
        if last is None:
            return None
        return eval(compile(ast.Expression(last.value), "cell", "eval"), names)

    def outputs(self, value, number):
        if value is None:
            return []
        data, metadata = self.format(value)
        parts = {"data": data, "metadata": metadata, "execution_count": number}
        return [nbformat.v4.new_output("execute_result", **parts)]

    @property
    def panels(self):
        """The panels shown."""
        return [each for each in self.shown.values() if isinstance(each, Panel)]

    @property
    def studies(self):
        """The studies shown."""
        return [each for each in self.shown.values() if isinstance(each, Study)]

    @property
    def sentences(self):
        """What is shown in words alone."""
        return [each.text for each in self.shown.values() if isinstance(each, Words)]


def scenario_of(name):
    folder = MISSIONS if name in SIX else SCENARIOS
    return mplan.load(folder / f"{name}.toml")


def reported(scenario, folder, monkeypatch):
    """Make a report in this process; return it, and the shell that executed its workbooks.

    Of the launch windows of ten days it shows the first ones: ten take longer than all the rest.
    Studies of many flights are stopped early: whole they take a minute a mission, and
    `test_workbooks` and `test_report` fly those of the demo to their ends. The sliders of the page
    are flown by themselves, not in a thread beside cells that this process executes too.
    """
    shell, scan = Shell(), windows.scan_windows
    monkeypatch.setattr(kernel, "execute_all", shell.execute_all)
    monkeypatch.setattr(in_cell, "run", shell.begin)
    monkeypatch.setattr(choice, "LocalProcesses", lambda workers: InProcess())
    monkeypatch.setattr(
        windows, "scan_windows", lambda one, day, _, **more: scan(one, day, DAYS, **more)
    )
    return report.make(scenario, folder / "report", studies=True, flights=0), shell


def schema():
    return json.loads(files("mplan").joinpath("plan.schema.json").read_text("utf-8"))


@pytest.fixture(scope="module")
def plans():
    return {name: mplan.fly(scenario_of(name)) for name in SIX}


@each_of_six
def test_closes(plans, name):
    """Each is sized by flying it: it closes, to its splash."""
    plan = plans[name]
    assert plan.closes, plan.verdict
    assert plan.complete
    assert plan.flight.splash is not None


def test_unlike_one_another(plans):
    """No element has the name of one of the demo's or of another mission's."""
    names = [name for plan in plans.values() for name in plan.scenario.elements]
    demo = {x for file in SCENARIOS.glob("*.toml") for x in mplan.load(file).elements}
    assert len(names) == len(set(names))
    assert not demo & set(names)


@each_of_six
def test_brief(plans, name):
    """The brief tells the verdict and every burn."""
    text = io.StringIO()
    print_brief(plans[name], text)
    said = re.sub(r"\s+", " ", text.getvalue())
    assert plans[name].verdict in said
    assert NOT_SHOWN not in said


@each_of_six
def test_json(plans, name):
    """The document obeys its schema."""
    jsonschema.validate(json.loads(as_json(plans[name])), schema())


@each_of_six
def test_arcs(plans, name):
    """There is an arc there and an arc home, each with states in order of time."""
    found = list(oem.segments(plans[name]))
    assert len(found) == 2
    assert all((each.times[1:] > each.times[:-1]).all() for each in found)


@each_of_six
def test_windows(plans, name):
    """The planned day is among the days on which it can be launched, and closes."""
    scenario = plans[name].scenario
    found = windows.scan_windows(scenario, scenario.dates.launch_day, DAYS)
    assert any(
        each.plan_closes
        for each in windows.chances(found)
        if each.day == scenario.dates.launch_day and each.side == scenario.dates.side
    )


@pytest.mark.parametrize("name", [*SIX, *SHIPPED])
def test_report(name, tmp_path, monkeypatch):
    """Every cell of every workbook runs; every panel moves by a step."""
    monkeypatch.setenv("MPLAN_RAISE", "1")
    made, shell = reported(scenario_of(name), tmp_path, monkeypatch)
    assert made.failures == ()
    page = made.page.read_text("utf-8")
    assert made.plan.verdict in page
    assert NOT_SHOWN not in page
    assert "Failed:" not in page
    assert len(shell.panels) in (6, 7)  # a mission that does not land has none of the landing
    assert len(shell.studies) >= 4
    assert [each[0] for each in shell.begun] == shell.studies  # none failed under way
    assert all(words[0]["text/html"] for _, _, words in shell.begun)
    for panel in shell.panels:
        step(next(iter(panel.controls.values())))
        panel._rest.end()
        said = panel.trouble.value  # the next day may have no arc to the Moon
        assert not said or "Not flown, dates." in said, said
    tried = what_if.fly(made.plan, most=FEW)
    assert tried is not None
    assert len(tried["flights"]) > 1


def step(control):
    """Move a control by one step."""
    if isinstance(control, SliderControl):
        slider = control.slider
        slider.value += slider.step if slider.value < slider.max else -slider.step
    elif isinstance(control, ChoiceControl):
        control.value = next(x for x in control.knob.options if x != control.value)
    elif isinstance(control, SwitchedControl):
        control.switch.value = not control.switch.value


@pytest.mark.parametrize("name", SIX)
def test_lesson(name, tmp_path, monkeypatch):
    """The lesson's last part is about the scenario's mission too."""
    source = workbooks.all_in(workbooks.folder())[0]
    book = workbooks.read(source)
    workbooks.set_parameters(book, scenario_of(name).source.as_posix())
    assert Shell().execute_all({"lesson": book}, tmp_path) == {"lesson": ()}


@pytest.fixture(scope="module")
def unflown(tmp_path_factory):
    """A mission whose events are at fault: nothing of it is flown."""
    text = (MISSIONS / "northern_landing.toml").read_text("utf-8")
    dropped = '[[events]]\ndo = "jettison"\nelements = ["saddle"]\n\n'
    assert dropped in text
    file = tmp_path_factory.mktemp("unflown") / "unflown.toml"
    file.write_text(text.replace(dropped, ""), encoding="utf-8")
    return mplan.load(file)


@pytest.fixture(scope="module")
def short_of_orbit():
    """A mission whose climb runs dry."""
    tanks = "elements.pommel.tanks"
    loads = {f"{tanks}.hydrogen.load": "2.7 t", f"{tanks}.oxygen.load": "15.7 t"}
    core = "elements.saddle.tanks"
    loads |= {f"{core}.hydrogen.load": "60 t", f"{core}.oxygen.load": "360 t"}
    return scenario_of("northern_landing").change(loads)


@pytest.mark.parametrize("kind", ["unflown", "short_of_orbit"])
def test_ended_early(kind, request, tmp_path, monkeypatch):
    """What was not flown is not shown, and why is said there; no cell fails, no arcs are made up.

    The stack stands there all the same, and so does the climb that was flown.
    """
    scenario = request.getfixturevalue(kind)
    made, shell = reported(scenario, tmp_path, monkeypatch)
    assert made.failures == ()
    flight = made.plan.flight
    assert flight.ended is not None
    assert flight.ended.text in made.page.read_text("utf-8")
    silent = [text for text in shell.sentences if text.startswith(NOT_SHOWN)]
    assert set(silent) == {f"{NOT_SHOWN}{flight.ended.text}."}
    assert not made.page.with_name("trajectory.oem").exists()
    with pytest.raises(oem.NoArcs, match=re.escape(flight.ended.text)):
        oem.message(made.plan, None)
    jsonschema.validate(json.loads(as_json(made.plan)), schema())
    shown = {cell for (_, cell), value in shell.shown.items() if type(value).__name__ == "Picture"}
    assert "view" in shown  # of the stack
    assert ("height" in shown) == (kind == "short_of_orbit")
    assert len(shell.panels) == (2 if kind == "short_of_orbit" else 0)


def test_panel_keeps_the_last_result(monkeypatch):
    """A move to a mission that ends early leaves what is shown and says why."""
    from mplan.show import translunar

    scenario = scenario_of("single_flyby")
    panel = translunar.panel(scenario)
    before = panel.plan
    bad = scenario.change("mission.payload_down", "60 t")
    assert mplan.fly(bad).flight.ended is not None
    monkeypatch.setattr(panel, "_changed", lambda values: bad)
    step(panel.controls["launch_site.azimuth"])
    assert panel.plan is before
    assert NOT_SHOWN in panel.trouble.value
    assert "Showing the last valid result" in panel.trouble.value


def test_failing_cell(tmp_path, monkeypatch, capsys):
    """It is shown as failed where it stands, named at the head and on stderr; the rest is there."""

    def fail(plan):
        raise KeyError(None)

    monkeypatch.setattr("mplan.show.air.edges", fail)
    monkeypatch.setattr(kernel, "execute_all", Shell().execute_all)
    shutil.copy(workbooks.folder() / "07_entry.ipynb", tmp_path)
    monkeypatch.setenv(workbooks.FOLDER, str(tmp_path))
    file = MISSIONS / "single_flyby.toml"
    assert cli.main(["report", str(file), "--to", str(tmp_path / "out")]) == 2
    said = capsys.readouterr().err
    text = "07_entry, cell 7 (edges): KeyError: None"
    assert f"failed: {text}" in said
    page = (tmp_path / "out" / "report.html").read_text("utf-8")
    assert page.count(text) == 2
    names = {path.name for path in (tmp_path / "out").rglob("*") if path.is_file()}
    assert {"plan.json", "trajectory.oem", "tables.xlsx", "07_entry.ipynb"} <= names


def test_no_element_is_known_by_name():
    """Neither code nor workbook says an element's name of any scenario: roles decide."""
    scenarios = [*SCENARIOS.glob("*.toml"), *MISSIONS.glob("*.toml")]
    names = {name for file in scenarios for name in mplan.load(file).elements}
    root = Path(mplan.__file__).parent
    code = {file: file.read_text("utf-8") for file in root.rglob("*.py")}
    for book in workbooks.all_in(workbooks.folder()):
        cells = [cell for cell in workbooks.read(book).cells if cell.cell_type == "code"]
        logic = [x.source for x in cells if "parameters" not in x.metadata.get("tags", ())]
        code[book] = "\n".join(logic)  # parameters are the planner's, of the file that they name
    found = [
        f"{file.name}: {each}" for file, text in code.items() for each in literals(text) & names
    ]
    assert found == []


def literals(source):
    """The words in the strings of a source, apart from prose and what `examples` show."""
    tree = ast.parse(source)
    keywords = [node for node in ast.walk(tree) if isinstance(node, ast.keyword)]
    said = [x for each in keywords if each.arg in SHOWN for x in ast.walk(each.value)]
    told = set(map(id, said))
    strings = [
        node.value
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in told
    ]
    return {word for text in strings if " " not in text for word in re.split(r"\W+", text)}
