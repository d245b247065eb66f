"""The panel of the programme: a later start, a faster or slower line, and all scheduled anew."""

from __future__ import annotations

from datetime import timedelta
from html import escape

import ipywidgets as widgets

from mplan.physics.constants import DAY
from mplan.programme import Calendar, Programme, plan_programme
from mplan.scenario import ScenarioError
from mplan.scenario.wording import plain
from mplan.show import notes
from mplan.show.drawn.live import LiveFigure
from mplan.show.drawn.palette import Theme
from mplan.show.panels.stand_in import StandIn
from mplan.show.programme import pictures, readings

YEAR = 365.25 * DAY  # s
LATEST = 365  # d that the start may be put off
RATES = (0.25, 12.0)  # units a year: least and most
BUSY = f'<p style="{notes.CLOSE}">Scheduling anew; to stop, interrupt the kernel.</p>'
STEP = 0.25  # units a year


def panel(calendar: Calendar, *, theme: Theme | None = None) -> ProgrammePanel:
    """Return the panel on a programme that was scheduled."""
    return ProgrammePanel(calendar, theme)


class ProgrammePanel(StandIn):
    """Sliders over the missions' calendar; `calendar` is the last one that was scheduled.

    Remedies are not scheduled here: a move must not wait for them.
    """

    repeats = True  # the calendar's words and bars stand in cells of their own

    def __init__(self, calendar: Calendar, theme: Theme | None = None) -> None:
        """Show the calendar as it is in its file."""
        self._file, self._theme, self.calendar = calendar.programme, theme, calendar
        wide = {"style": {"description_width": "180px"}, "layout": {"width": "460px"}}
        self.start = widgets.IntSlider(0, 0, LATEST, 5, description="start later [d]", **wide)
        names = [(plain(x), x) for x in self._file.elements]
        held = [x.element for x in readings.critical(calendar) if x.kind == "build" and x.element]
        self.element = widgets.Dropdown(options=names, description="element", **wide)
        self.element.value = held[-1] if held else names[0][1]
        least, most = self._rates()
        self.rate = widgets.FloatSlider(
            self._own_rate(), min=least, max=most, step=STEP, description="line [1/year]", **wide
        )
        for each in (self.start, self.rate):
            each.continuous_update = False
            each.observe(self._moved, "value")
        self.element.observe(self._chosen, "value")
        self.said, self.trouble = widgets.HTML(), widgets.HTML()
        self.drawn = widgets.HBox(layout={"overflow": "auto"})
        super().__init__([self.start, self.element, self.rate, self.trouble, self.said, self.drawn])
        self._show()

    def rows(self) -> list[tuple[str, str, str]]:
        """Return the sliders as they stand."""
        rate = f"line of the {plain(self.element.value)}"
        least, most = self._rates()
        return [
            ("start later", f"{self.start.value} d", f"0 to {LATEST} d"),
            (rate, f"{self.rate.value:.3g} /year", f"{least:g} to {most:g} /year"),
        ]

    def _own_rate(self) -> float:
        return self._file.elements[self.element.value].rate * YEAR

    def _rates(self) -> tuple[float, float]:
        """Return what the slider spans: some usual rates, and the line's own."""
        least, most = RATES
        return min(least, self._own_rate()), max(most, self._own_rate())

    def _chosen(self, change: object) -> None:
        """Begin at the line's own rate, and schedule with it."""
        least, most = self._rates()
        self.rate.min, self.rate.max = min(least, self.rate.value), max(most, self.rate.value)
        before, self.rate.value = self.rate.value, self._own_rate()
        self.rate.min, self.rate.max = least, most
        if self.rate.value == before:  # else the move of the rate has scheduled already
            self._moved(change)

    def _changed(self) -> Programme:
        changes: dict[str, object] = {}
        if self.start.value:
            changes["today"] = (self._file.today + timedelta(days=self.start.value)).isoformat()
        if abs(self.rate.value - self._own_rate()) > 1e-3:
            changes[f"elements.{self.element.value}.rate"] = f"{self.rate.value:.6g} /year"
        return self._file.change(changes) if changes else self._file

    def _moved(self, change: object) -> None:
        self.trouble.value = BUSY
        try:
            self.calendar = plan_programme(self._changed(), remedies=False, fly_windows=False)
        except ScenarioError as problems:
            self.trouble.value = notes.trouble(f"Not scheduled: {problems}")
            return
        except KeyboardInterrupt:  # of the kernel, by whom a long search takes too long
            self.trouble.value = notes.trouble("Stopped. Showing the last calendar.")
            return
        self._show()
        self.trouble.value = ""

    def _show(self) -> None:
        """Put the calendar into words and bars; only what differs is sent."""
        said, style = escape(readings.headline(self.calendar)), f'style="{notes.CLOSE}"'
        clashes = "".join(f"<li>{escape(x.text)}</li>" for x in self.calendar.clashes)
        self.said.value = f'<p role="status" {style}><b>{said}</b></p><ul {style}>{clashes}</ul>'
        drawing = pictures.missions_drawing(self.calendar, self._theme)
        if self.drawn.children:
            self.drawn.children[0].redraw(drawing)
        else:
            self.drawn.children = [LiveFigure(drawing, pictures.WIDTH)]
        self.keep_soon()
