"""The panel of ways out: choose a failure, a time and a cabin, and see what leads home."""

from __future__ import annotations

import ipywidgets as widgets

from mplan.contingencies.ways_out.failures import FAILURES
from mplan.physics.constants import HOUR
from mplan.plan import Plan
from mplan.scenario import ScenarioError
from mplan.scenario.wording import plain
from mplan.show.crew_and_ways_out import home_path, moon_view, tables
from mplan.show.crew_and_ways_out.tables import NOBODY
from mplan.show.drawn.live import LiveFigure
from mplan.show.drawn.palette import Theme
from mplan.show.notebook import Words, sentence
from mplan.show.panels.board import Board
from mplan.show.panels.controls import ROW
from mplan.show.panels.knobs import Choice, Knob
from mplan.show.panels.panel import shows_errors
from mplan.show.panels.stand_in import StandIn
from mplan.show.reached import asks_splash
from mplan.studies import ways_out
from mplan.studies.executors import often
from mplan.studies.ways_out import WaysAsked

TIME, FAILURE, CABIN = "time", "failure", "cabin"
STEP = 0.1  # h


@asks_splash
def panel(
    plan: Plan, at: str = "", failure: str = "", *, theme: Theme | None = None
) -> WaysPanel | Words:
    """Return the panel on a plan, standing at a time like 75:41 and a failure.

    Without a time half-way through the mission. ScenarioError where these cannot be asked.
    """
    if not ways_out.cabins(plan.flight):
        return sentence(NOBODY)
    return WaysPanel(chosen(plan, at, failure), theme)


def chosen(plan: Plan, at: str = "", failure: str = "") -> WaysAsked:
    """Return what there is at a time like 75:41, or half-way; the main engine lost if not named.

    Half-way with no engine left to fail, called off. Raises ScenarioError.
    """
    flight = plan.flight
    elapsed = ways_out.time_named(at) if at else flight.duration / 2.0
    usual = FAILURES[0] if ways_out.may_fail(flight, elapsed, FAILURES[0]) else "called off"
    return ways_out.at(flight, elapsed, failure or usual)


class WaysPanel(StandIn):
    """A failure, a time and a cabin; `asked` is the last that was flown."""

    def __init__(self, start: WaysAsked, theme: Theme | None = None) -> None:
        """Show what there is at the start."""
        often.begin()
        self.asked, self._theme = start, theme
        self.flight = start.point.flight
        self._cabins = {plain(each): each for each in ways_out.cabins(self.flight)}
        self.board = Board(self._turned(), self._moved, home="Back to the start")
        self.controls, self.trouble = self.board.controls, self.board.trouble
        if CABIN in self.controls:
            self.controls[CABIN].add_class(ROW)
        self.shown = widgets.HTML()
        mission = self.flight.scenario.mission.name
        self.figure = LiveFigure(
            home_path.drawing(start, theme), home_path.WIDTH, mission, "way out"
        )
        self.moon = LiveFigure(
            moon_view.drawing(start, theme) or home_path.drawing(start, theme),
            moon_view.WIDTH,
            mission,
            "about the Moon",
        )
        self.figures = widgets.HBox(layout={"flex_flow": "row wrap"})
        self._draw_moon()
        super().__init__([self.board, self.figures, self.shown])
        self.add_class("mplan-panel")
        self._tell()

    def _turned(self) -> list[tuple[Knob | Choice, float | str]]:
        """Return what can be turned, and what it stands at."""
        point, last = self.asked.point, self.flight.duration / HOUR
        time = Knob(TIME, "since lift-off", "h", HOUR, 0.0, round(last, 1), STEP)
        turned: list[tuple[Knob | Choice, float | str]] = [
            (Choice(FAILURE, "what fails", FAILURES), self.asked.failure),
            (time, round(point.elapsed / HOUR, 3)),
        ]
        if len(self._cabins) > 1:
            names = tuple(self._cabins)
            turned.append((Choice(CABIN, "the crew of", names), plain(point.cabin)))
        return turned

    @shows_errors
    def _moved(self) -> None:
        """Fly what is asked for; where that cannot be asked, say so and keep the last."""
        values = self.board.values
        cabin = self._cabins[values[CABIN]] if CABIN in values else self.asked.point.cabin
        try:
            elapsed = float(values[TIME]) * HOUR
            self.asked = ways_out.at(self.flight, elapsed, values[FAILURE], cabin)
        except ScenarioError as problems:
            texts = [f"{each.key}: {each.text}" for each in problems.problems]
            self.board.refuse(f"Not flown, {'; '.join(texts)}.")
            return
        self.board.say("")
        self._tell()
        self.figure.redraw(home_path.drawing(self.asked, self._theme))
        self._draw_moon()
        self.keep_soon()

    def _draw_moon(self) -> None:
        """Show the picture about the Moon where the way burns there, else the other one alone."""
        drawn = moon_view.drawing(self.asked, self._theme)
        if drawn is not None:
            self.moon.redraw(drawn)
        shown = (self.figure,) if drawn is None else (self.figure, self.moon)
        if self.figures.children != shown:
            self.figures.children = shown

    def _tell(self) -> None:
        """Show what was asked, every way and its burns, in words."""
        told = tables.ways(self.asked).html
        self.shown.value = f'<div role="status" class="mplan-told">{told}</div>'
