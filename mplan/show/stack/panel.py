"""The panel of the stack: stages shortened, loaded, made wider, given more engines."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from math import ceil
from typing import Any

from mplan.plan import Plan
from mplan.scenario import Scenario, ScenarioError
from mplan.scenario.figures import decimals
from mplan.scenario.wording import plain
from mplan.show import notes, reached
from mplan.show.drawn.figure import Chart
from mplan.show.drawn.palette import Theme
from mplan.show.mission import burn_bars
from mplan.show.panels.knobs import Count, Knob
from mplan.show.panels.panel import Panel, Values
from mplan.show.reached import asks_climb
from mplan.show.stack import side_view
from mplan.show.told import told
from mplan.studies import shorten
from mplan.vehicle import layout, resize
from mplan.vehicle.ledger import main_engine
from mplan.vehicle.pad import SiteLimit, limits
from mplan.vehicle.stack import on_pad

LABEL = "215px"
SHORTEST, LONGEST = -2.0, 3.0  # m, that a stage is made shorter by
ROLES = ("launch stage", "transfer stage")  # whose diameter and engines are turned too


@asks_climb
def panel(scenario: Scenario, *, theme: Theme | None = None) -> StackPanel:
    """Return the panel on a scenario; ScenarioError where the scenario itself does not fly."""
    return StackPanel(scenario, theme)


@dataclass(frozen=True)
class ShortenKnob(Knob):
    """Metres that a stage is made shorter by, whatever its tanks hold."""

    element: str = ""

    def read(self, scenario: Scenario) -> float:
        """Return zero: what stands in a file has not been shortened."""
        return 0.0

    def changes(self, number: float, scenario: Scenario) -> dict[str, Any]:
        """Return what the shortening changes, by key; ScenarioError where it cannot be."""
        return resize.shortening(scenario, self.element, number)


@dataclass(frozen=True)
class LoadKnob(Knob):
    """What all main tanks of an element hold together, in the ratio they hold it now."""

    element: str = ""

    def read(self, scenario: Scenario) -> float:
        """Return the load in the knob's unit."""
        loads = layout.main_loads(scenario.elements[self.element])
        return round(sum(loads.values()) / self.size, 6)

    def changes(self, number: float, scenario: Scenario) -> dict[str, Any]:
        """Return what another load changes, by key."""
        element = scenario.elements[self.element]
        return resize.changes(element, self.element, number / self.read(scenario))


class StackPanel(Panel):
    """The budget of the burns, and the stack to scale beside it or below."""

    reach = staticmethod(reached.climb)
    least = 450
    charts = (
        Chart(burn_bars.drawing, burn_bars.WIDTH),
        Chart(side_view.drawing, side_view.WIDTH, least=side_view.WIDTH),
    )

    def __init__(self, scenario: Scenario, theme: Theme | None = None) -> None:
        """Show the scenario as it is in its file, with room for the names of stages."""
        super().__init__(scenario, theme)
        for each in self.controls.values():
            each.slider.style.description_width = LABEL

    def knobs(self, scenario: Scenario) -> Iterable[Knob]:
        """Return the knobs of every stage that stands outside."""
        return [knob for name in shorten.stages(scenario) for knob in _of(scenario, name)]

    def told(self, plan: Plan, before: Plan) -> str:
        """Return the stack's sizes and what the pad allows."""
        return notes.facts(facts(plan), facts(before))

    def _try(self, values: Values) -> None:
        """Show the stack at once and fly it then; where it does not fly, show the last that did."""
        with suppress(ScenarioError):  # the flight says why
            stack = side_view.of(self._changed(values), self._theme)
            self.figures[0].redraw(self._over(stack, self._reference.drawings[0]))
        super()._try(values)
        if self._shown != values:
            self.figures[0].redraw(self._over(self._drawings[0], self._reference.drawings[0]))

    def _changed(self, values: Values) -> Scenario:
        """Return the scenario with what was moved; stages are shortened as they then are."""
        shorter = {
            key: value
            for key, value in values.items()
            if isinstance(self.controls[key].knob, ShortenKnob) and value != self._home[key]
        }
        scenario = super()._changed({**values, **{key: self._home[key] for key in shorter}})
        changes: dict[str, Any] = {}
        for key, value in shorter.items():
            changes |= self.controls[key].knob.changes(value, scenario)
        return scenario.change(changes) if changes else scenario


def facts(plan: Plan) -> dict[str, str]:
    """Return the stack's sizes, the launch site's limits and what each stage ends with."""
    is_ = on_pad(plan.scenario)
    return {
        "height": told("{:.2 m}", is_.height),
        "width": told("{:.2 m}", is_.width),
        "lift-off mass": told("{:.1 t}", is_.mass / 1e3),
        **{
            each.name: _of_limit(each, each.found, each.limit)
            for each in limits(plan.scenario)
            if each.limit is not None and each.found is not None
        },
        **{
            f"margin of the {plain(burn.element)}": told("{:.0 m/s}", burn.margin)
            for burn in plan.burns
            if not burn.burns_out and burn.element in shorten.stages(plan.scenario)
        },
    }


def _of_limit(each: SiteLimit, found: float, limit: float) -> str:
    """Return what was found and its limit, with as many digits as tell them apart."""
    digits = decimals(limit * each.scale, found * each.scale, 2)
    form = f"{{:.{digits} {each.unit}}}"
    return told(f"{form}, limit {form}", found * each.scale, limit * each.scale)


def _of(scenario: Scenario, name: str) -> Iterator[Knob]:
    element, title = scenario.elements[name], plain(name)
    load = round(sum(layout.main_loads(element).values()) / 1e3, 6)
    limits = {"low": round(0.5 * load, 1), "high": round(1.3 * load, 1)}
    step = 10.0 ** (len(str(int(load))) - 3)
    yield ShortenKnob(
        f"{name}: shorter by", f"{title}, shorter by", "m", 1.0, SHORTEST, LONGEST, 0.05, name
    )
    yield LoadKnob(f"{name}: load", f"{title}, load", "t", 1e3, **limits, step=step, element=name)
    if element.role in ROLES:
        wide = element.diameter
        yield Knob(
            f"elements.{name}.diameter", f"{title}, across", "m", 1.0, wide - 2.0, wide + 2.0, 0.1
        )
        engine, kind = main_engine(element)
        most = 1.0 + 10.0 * ceil(kind.count / 10.0)  # steps that browsers do not round
        key = f"elements.{name}.engines.{engine}.count"
        yield Count(key, f"{title}, engines", "", 1.0, 1.0, most, 1.0)
