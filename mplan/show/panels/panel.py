"""Panels: sliders on a scenario, and the whole mission flown again at every move.

A move keeps the steering of the file's climb, which saves the search for the best one, and says
so; once the sliders rest, the climb is optimised for what they stand at.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable
from functools import wraps
from html import escape
from pathlib import Path
from threading import Lock
from typing import Any

import ipywidgets as widgets

from mplan.flight.ascent import kept
from mplan.physics import compiling
from mplan.plan import Plan, fly
from mplan.scenario import Scenario, ScenarioError
from mplan.show import notes
from mplan.show.drawn.figure import Chart
from mplan.show.drawn.live import LiveFigure
from mplan.show.drawn.palette import Theme
from mplan.show.panels import controls, knobs
from mplan.show.panels.pause import Pause
from mplan.show.panels.stand_in import StandIn
from mplan.show.reached import NotShown, Reach, require, splash

REST = 0.6  # s without a move, after which the climb is optimised
Values = dict[str, Any]


def shows_errors(act: Callable[..., None]) -> Callable[..., None]:
    """Put an unforeseen error into the panel: Jupyter hides what a callback raises in a log.

    With MPLAN_RAISE set, as in tests, it is raised as well.
    """

    @wraps(act)
    def guarded(self: Panel, *arguments: object) -> None:
        try:
            act(self, *arguments)
        except Exception as problem:
            self.trouble.value = notes.trouble(f"{type(problem).__name__}: {problem}")
            if os.environ.get("MPLAN_RAISE"):
                raise

    return guarded


class Panel(StandIn):
    """Sliders, words and pictures of one mission; kinds of panels say which.

    `plan` is the last one that flew, `scenario` what was flown for it.
    """

    charts: tuple[Chart, ...] = ()
    repeats = True  # its words and pictures stand in the cells of the workbook
    reach: Reach = staticmethod(splash)  # how far a flight must have come for the charts

    def knobs(self, scenario: Scenario) -> Iterable[knobs.Knob | knobs.Choice]:
        """Return what can be turned."""
        raise NotImplementedError

    def told(self) -> tuple[str, str]:
        """Return what is said of the plan, above all and below, as HTML."""
        raise NotImplementedError

    def __init__(self, scenario: Scenario, theme: Theme | None = None) -> None:
        """Fly the scenario as it is in its file and show it.

        Raises NotShown where the flight ends before what the charts show.
        """
        compiling.start()
        self._file, self._theme, self._lock = scenario, theme, Lock()
        self._rest, self._soon = Pause(self.settle, REST), Pause(self._draw, 0.0)
        self.plan = self._optimised = self._whole(fly(scenario))
        self.controls = {
            knob.key: controls.of(knob, knob.read(scenario), self._moved)
            for knob in self.knobs(scenario)
        }
        self._wanted = self._tried = self._home = self._values()
        self.figures = [
            LiveFigure(chart.drawing(self.plan, theme), chart.width) for chart in self.charts
        ]
        self._saved: set[Path] = set()
        self._asked: tuple[Path, bytes] | None = None  # a file that may be overwritten, as it was
        self._make_words()
        super().__init__(self._laid_out())
        self._tell()

    @property
    def scenario(self) -> Scenario:
        """The scenario of the plan that is shown."""
        return self.plan.scenario

    def _make_words(self) -> None:
        self.verdict, self.findings = widgets.HTML(), widgets.HTML()
        self.trouble, self.saying = widgets.HTML(), widgets.HTML()
        self.steered = widgets.HTML()
        self.back = widgets.Button(description="Back to the file", icon="undo")
        self.back.on_click(self._go_back)
        source = self._file.source
        self.name = widgets.Text(
            str(source.with_name(f"{source.stem}_changed.toml")),
            tooltip="file to save the scenario as",
            layout={"width": "340px", "max_width": "100%"},
            continuous_update=False,
        )
        self.save = widgets.Button(description="Save as", icon="save", tooltip="write this file")
        self.save.on_click(self._save_as)

    def _laid_out(self) -> list[widgets.Widget]:
        sliders = widgets.GridBox(
            list(self.controls.values()),
            layout={
                "grid_template_columns": "repeat(auto-fit, minmax(460px, 1fr))",
                "grid_gap": "0 24px",
            },
        )
        wrap = {"flex_flow": "row wrap", "align_items": "center"}
        files = widgets.HBox([self.back, self.name, self.save, self.saying], layout=wrap)
        pictures = widgets.HBox(self.figures, layout={"flex_flow": "row wrap", "overflow": "auto"})
        return [sliders, files, self.trouble, self.verdict, self.steered, pictures, self.findings]

    def _values(self) -> Values:
        return {key: each.value for key, each in self.controls.items()}

    @shows_errors
    def _moved(self) -> None:
        """Fly the newest values; a call during a flight leaves them to the one that flies."""
        self._rest.end()
        self._wanted = self._values()
        while self._wanted != self._tried and self._lock.acquire(blocking=False):
            try:
                self._tried = self._wanted
                self._try(self._tried)
            finally:
                self._lock.release()

    @shows_errors
    def settle(self) -> None:
        """Fly what is shown with its climb optimised, where it is steered as another one.

        Comes by itself when the sliders rest, where a loop runs; the next move is quick again.
        """
        self._rest.end()
        if not self.kept:
            return
        if not self._lock.acquire(blocking=False):
            self._rest.begin()
            return
        try:
            self.plan = self._whole(fly(self.scenario))
            self._show_plan()
        except NotShown as reason:
            self._keep(str(reason))
        finally:
            self._lock.release()

    @property
    def kept(self) -> str:
        """Whose steering the climb shown keeps, in words; "" if it is optimised for itself."""
        climb = self.plan.flight.end.climb
        return kept(climb) if climb else ""

    def _try(self, values: Values) -> None:
        try:
            self.plan = self._whole(self._fly(self._changed(values)))
        except ScenarioError as problems:
            texts = [f"{each.key}: {each.text}" for each in problems.problems]
            self._keep(f"Not flown, {'; '.join(texts)}.")
            return
        except NotShown as reason:
            self._keep(str(reason))
            return
        self.trouble.value = ""
        self._wait()
        self._show_plan()

    def _keep(self, reason: str) -> None:
        """Say why the values are not shown, and leave what is."""
        self.trouble.value = notes.trouble(f"{reason} Showing the last valid result.")
        self._wait()

    def _whole(self, plan: Plan) -> Plan:
        """Return a plan whose flight has come as far as the charts ask; raise NotShown else."""
        require(plan.flight, self.reach)
        return plan

    def _wait(self) -> None:
        """Have the climb optimised once the sliders rest, where it is not."""
        if self.kept:
            self._rest.begin()

    def _show_plan(self) -> None:
        """Put the plan into words at once, and into figures when those are on their way.

        Where moves follow one another closely, figures of the last one are drawn.
        """
        self._tell()
        if not self._soon.begin():
            self._draw()

    @shows_errors
    def _draw(self) -> None:
        for figure, chart in zip(self.figures, self.charts, strict=True):
            figure.redraw(chart.drawing(self.plan, self._theme))
        self.keep_soon()

    def _fly(self, scenario: Scenario) -> Plan:
        """Return the plan of a scenario, its climb steered as the file's: a move must not wait."""
        return fly(scenario, like=self._optimised)

    def _changed(self, values: Values) -> Scenario:
        """Return the file's scenario with the values that were moved."""
        moved = {key: value for key, value in values.items() if value != self._home[key]}
        changes: dict[str, Any] = {}
        for key, value in moved.items():
            changes |= self.controls[key].knob.changes(value, self._file)
        return self._file.change(changes)

    def _tell(self) -> None:
        self.steered.value = notes.steered(self.kept, waits=self._rest.waits)
        self.verdict.value, self.findings.value = self.told()

    @shows_errors
    def _go_back(self, button: object) -> None:
        with self._lock:  # the moves in between are not flown
            for key, each in self.controls.items():
                each.value = self._home[key]
        self._moved()

    @shows_errors
    def _save_as(self, button: object) -> None:
        path = Path(self.name.value)
        try:
            self._refuse_strange(path)
            if self._asks(path):
                return
            self.scenario.save(path)
        except (ScenarioError, OSError) as problem:
            self.saying.value = notes.trouble(f"Not saved: {problem}")
            return
        self._saved.add(path.resolve())
        count = len(self.scenario.changes)
        changes = "as in the file" if not count else f"{count} change{'s' * (count > 1)}"
        self.saying.value = f"Saved {escape(str(path))}: {changes}."

    def _asks(self, path: Path) -> bool:
        """Ask before a file is overwritten; a second press, with the file as it was, is the yes."""
        there = (path.resolve(), path.read_bytes()) if path.exists() else None
        asks = there is not None and there != self._asked
        self._asked = there if asks else None
        if asks:
            own = path.resolve() == self._file.source.resolve()
            which = "the scenario that is open" if own else "there already"
            text = f"{path} is {which}; press Save as once more to overwrite it."
            self.saying.value = notes.question(text)
        return asks

    def _refuse_strange(self, path: Path) -> None:
        """Raise FileExistsError for a file that neither this panel nor its scenario owns."""
        own = {self._file.source.resolve(), *self._saved}
        if path.exists() and path.resolve() not in own:
            raise FileExistsError(f"{path} is there already; choose another name")
