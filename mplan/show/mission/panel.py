"""The panel of the whole mission: its budget, its path and its timeline at every move."""

from __future__ import annotations

from collections.abc import Iterable

from mplan.plan import Plan
from mplan.scenario import Scenario
from mplan.show import gist, notes
from mplan.show.drawn.figure import Chart
from mplan.show.drawn.palette import Theme
from mplan.show.mission import burn_bars, event_ladder, flight_path
from mplan.show.panels import knobs
from mplan.show.panels.panel import Panel
from mplan.show.reached import asks_splash


@asks_splash
def panel(scenario: Scenario, *, theme: Theme | None = None) -> MissionPanel:
    """Return the panel on a scenario; ScenarioError where the scenario itself does not fly."""
    return MissionPanel(scenario, theme)


class MissionPanel(Panel):
    """Verdict, findings, budget, path and timeline of the whole mission."""

    charts = (
        Chart(burn_bars.drawing, burn_bars.WIDTH),
        Chart(flight_path.drawing, flight_path.WIDTH),
        Chart(event_ladder.drawing, event_ladder.WIDTH),
    )

    _told: tuple[Plan, list[str]] | None = None  # a plan before, and its lines

    def knobs(self, scenario: Scenario) -> Iterable[knobs.Knob]:
        """Return the knobs of the profile."""
        return knobs.of(scenario)

    def told(self, plan: Plan, before: Plan) -> str:
        """Return dates, places and masses."""
        if self._told is None or self._told[0] is not before:
            self._told = before, gist.lines(before)  # the same at every move
        return notes.gist(plan, self._told[1])
