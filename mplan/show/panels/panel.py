"""Panels: sliders on a scenario, and the whole mission flown again at every move.

A move keeps the steering of the file's climb, which saves the search for the best one, and says
so; once the sliders rest, the climb is optimised for what they stand at.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable
from functools import partial, wraps
from threading import Lock
from typing import Any

import ipywidgets as widgets

from mplan.flight.ascent import kept
from mplan.plan import Plan, fly
from mplan.process import collecting
from mplan.scenario import Scenario, ScenarioError
from mplan.show import changed, notes
from mplan.show.drawn.figure import Chart, Drawing
from mplan.show.drawn.live import LiveFigure
from mplan.show.drawn.palette import Theme
from mplan.show.drawn.reference import behind
from mplan.show.panels import knobs, unmoved
from mplan.show.panels.board import REST, Board
from mplan.show.panels.history import Values
from mplan.show.panels.pause import Pause
from mplan.show.panels.pinning import FILE, PINNED, ComparedWith, PinButtons
from mplan.show.panels.saving import SaveRow
from mplan.show.panels.stand_in import StandIn
from mplan.show.reached import NotShown, Reach, require, splash
from mplan.studies.executors import often

Turned = knobs.Knob | knobs.Choice
IN_VIEW = 2  # pictures beside each other right under the verdict
NARROWEST = 0.62  # of the width that a picture would have, before it goes below the one before


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
    least = 400  # px that a slider takes with its name and its box

    def knobs(self, scenario: Scenario) -> Iterable[Turned]:
        """Return what can be turned."""
        raise NotImplementedError

    def told(self, plan: Plan, before: Plan) -> str:
        """Return the figures of a plan, as HTML, with what differs from a plan before."""
        raise NotImplementedError

    def found(self, plan: Plan, before: Plan) -> str:
        """Return what is said below all pictures; the findings, where a kind does not say."""
        return notes.findings(plan, before)

    def __init__(self, scenario: Scenario, theme: Theme | None = None) -> None:
        """Fly the scenario as it is in its file and show it.

        Raises NotShown where the flight ends before what the charts show.
        """
        often.begin()
        collecting.set_aside()
        self._file, self._theme, self._lock = scenario, theme, Lock()
        self._rest, self._soon = Pause(self.settle, REST), Pause(self._draw, 0.0)
        self.plan = self._optimised = self._whole(fly(scenario))
        self._make_words()
        turned = [(knob, knob.read(scenario)) for knob in self.knobs(scenario)]
        self.board = Board(turned, self._moved, least=self.least, more=[self.pins])
        self.controls, self.trouble = self.board.controls, self.board.trouble
        self.back = self.board.back
        self._wanted = self._tried = self._shown = self._home = self.board.values
        self._drawings = self._drawn()
        self._of_file = ComparedWith(FILE, self.plan, self._home, self._drawings)
        self._reference = self._of_file
        self.figures = [
            LiveFigure(drawing, chart.width, scenario.source.stem, chart.name)
            for drawing, chart in zip(self._drawings, self.charts, strict=True)
        ]
        self._silent: tuple[Turned, Plan] | None = None  # a move that changed no word
        super().__init__(self._laid_out())
        self.add_class("mplan-panel")
        self._tell()

    @property
    def scenario(self) -> Scenario:
        """The scenario of the plan that is shown."""
        return self.plan.scenario

    def _make_words(self) -> None:
        self.verdict = widgets.HTML(layout={"flex": "0 0 auto"})
        self.verdict.add_class("mplan-verdict")
        self.words, self.findings, self.steered = (widgets.HTML() for _ in range(3))
        self.words.add_class("mplan-words")
        self.pins = PinButtons(self._pin, self._unpin)
        self.saving = SaveRow(self._file.source, lambda: self.scenario)

    def _laid_out(self) -> list[widgets.Widget]:
        for figure, chart in zip(self.figures, self.charts, strict=True):
            width = max(chart.least, round(NARROWEST * chart.width))
            figure.layout.flex = f"{chart.width} 1 {width}px"
            figure.layout.min_width = f"min({width}px, 100%)"
        wrap = {"flex_flow": "row wrap", "overflow": "hidden"}
        above = widgets.HBox(self.figures[:IN_VIEW], layout=wrap)
        below = widgets.HBox(self.figures[IN_VIEW:], layout=wrap)
        words = [self.saving, self.words, self.steered]
        return [self.board, self.verdict, above, *words, below, self.findings]

    @shows_errors
    def _moved(self) -> None:
        """Fly the newest values; a call during a flight leaves them to the one that flies."""
        self._rest.end()
        self._wanted = self.board.values
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
            self._tell()
            self._show_pictures()
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
        before, said, self._silent = self.plan, self._said(), None
        try:
            self.plan = self._whole(self._fly(self._changed(values)))
        except ScenarioError as problems:
            texts = [f"{each.key}: {each.text}" for each in problems.problems]
            self._keep(f"Not flown, {'; '.join(texts)}.")
            return
        except NotShown as reason:
            self._keep(str(reason))
            return
        moved = [key for key, value in values.items() if value != self._shown[key]]
        self._shown = values
        self.board.say("")
        self._wait()
        self._tell()
        if len(moved) == 1 and self._said() == said:
            self._explain(self.controls[moved[0]].knob, before)
        self._show_pictures()

    def _keep(self, reason: str) -> None:
        """Say why the values are not shown, and leave what is."""
        self.board.refuse(reason)
        self._wait()

    def _whole(self, plan: Plan) -> Plan:
        """Return a plan whose flight has come as far as the charts ask; raise NotShown else."""
        require(plan.flight, self.reach)
        return plan

    def _wait(self) -> None:
        """Have the climb optimised once the sliders rest, where it is not."""
        if self.kept:
            self._rest.begin()

    def _explain(self, knob: Turned, before: Plan) -> None:
        """Say why a move changes no word, or leave it to the pictures whether it changes them."""
        reason = unmoved.reason(knob, self.plan, before)
        self.board.say(reason)
        self._silent = None if reason else (knob, before)

    def _show_pictures(self) -> None:
        """Draw when the words are on their way; of moves close together, the last one's."""
        if not self._soon.begin():
            self._draw()

    @shows_errors
    def _draw(self) -> None:
        """Draw the plan over what it is compared with; say why a move changes nothing at all."""
        shown, self._drawings = self._drawings, self._drawn()
        for figure, *pair in zip(
            self.figures, self._drawings, self._reference.drawings, strict=True
        ):
            figure.redraw(self._over(*pair))
        pairs = zip(shown, self._drawings, strict=True)
        if self._silent and all(one.traces == other.traces for one, other in pairs):
            knob, before = self._silent
            self.board.say(unmoved.felt(knob, self.plan, before))
        self.keep_soon()
        if not self._rest.waits:
            collecting.tidy()

    def _drawn(self) -> tuple[Drawing, ...]:
        return tuple(chart.drawing(self.plan, self._theme) for chart in self.charts)

    def _over(self, drawing: Drawing, reference: Drawing) -> Drawing:
        """Return a drawing with the outlines of what it is compared with, where that is another."""
        return drawing if self._alike else behind(drawing, reference, self._reference.name)

    @property
    def _alike(self) -> bool:
        """Whether what is shown is what it is compared with."""
        return self._shown == self._reference.values

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
        """Put the plan into words, the verdict first: each goes to the page by itself."""
        before = self.plan if self._alike else self._reference.plan
        self._apart = changed.headline(self.plan, before)
        compared = notes.same_as if self._alike else partial(notes.compared, self._apart)
        self.verdict.value = notes.verdict(self.plan) + compared(self._reference.name)
        self.steered.value = notes.steered(self.kept, waits=self._rest.waits)
        self.words.value = self.told(self.plan, before)
        self.findings.value = self.found(self.plan, before)

    def _said(self) -> tuple[object, ...]:
        return self.plan.verdict, self._apart, self.words.value, self.findings.value

    @shows_errors
    def _pin(self) -> None:
        """Compare with what is shown from now on, its climb optimised as the file's is."""
        self.settle()
        self._refer_to(ComparedWith(PINNED, self.plan, self._shown, self._drawn()))

    @shows_errors
    def _unpin(self) -> None:
        self._refer_to(self._of_file)

    def _refer_to(self, reference: ComparedWith) -> None:
        self._reference = reference
        self.pins.unpin.disabled = reference is self._of_file
        self.board.compare(reference.values)
        self._tell()
        self._draw()
