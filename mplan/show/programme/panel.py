"""The panel of the programme: a later start, faster or slower lines, and all scheduled anew."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from html import escape

import ipywidgets as widgets

from mplan.physics.constants import DAY
from mplan.programme import Calendar, Programme, plan_programme
from mplan.scenario import ScenarioError
from mplan.scenario.wording import plain
from mplan.show import notes
from mplan.show.drawn.live import LiveFigure
from mplan.show.drawn.palette import Theme
from mplan.show.drawn.reference import behind
from mplan.show.panels.board import Board
from mplan.show.panels.knobs import Knob
from mplan.show.panels.stand_in import StandIn
from mplan.show.programme import pictures, readings
from mplan.show.told import Number, TextDifference, When

YEAR = 365.25 * DAY  # s
LATEST = 365.0  # d that the start may be put off
RATES = (0.25, 12.0)  # units a year: least and most
STEP = 0.25  # units a year
BUSY = "Scheduling anew; to stop, interrupt the kernel."
START, WAITING_DAYS = "start", 5.0  # the first slider's key, and its step [d]
LABEL, LEAST = "200px", 450
NEW, GONE = TextDifference("new", "new"), TextDifference("gone", "gone")


def panel(calendar: Calendar, *, theme: Theme | None = None) -> ProgrammePanel:
    """Return the panel on a programme that was scheduled."""
    return ProgrammePanel(calendar, theme)


@dataclass(frozen=True)
class StartKnob(Knob):
    """Days that the programme starts later by."""

    @property
    def whole(self) -> bool:
        """Only whole days can stand here."""
        return True


def _knobs(calendar: Calendar) -> Iterator[tuple[Knob, float]]:
    """Yield the start, and the line of each element: what holds the end comes first."""
    yield StartKnob(START, "start later", "d", 1.0, 0.0, LATEST, WAITING_DAYS), 0.0
    elements = calendar.programme.elements
    critical = reversed([x.element for x in readings.critical(calendar) if x.kind == "build"])
    for name in dict.fromkeys((*filter(None, critical), *elements)):
        rate = round(elements[name].rate * YEAR, 6)
        low, high = min(RATES[0], rate), max(RATES[1], rate)
        label = f"line, {plain(name)}"
        yield Knob(f"elements.{name}.rate", label, "/year", 1.0, low, high, STEP), rate


class ProgrammePanel(StandIn):
    """Sliders over the missions' calendar; `calendar` is the last one that was scheduled.

    Remedies are not scheduled here: a move must not wait for them.
    """

    repeats = True  # the calendar's words and bars stand in cells of their own

    def __init__(self, calendar: Calendar, theme: Theme | None = None) -> None:
        """Show the calendar as it is in its file."""
        self._file, self._theme, self._first = calendar.programme, theme, calendar
        self.calendar = calendar
        self.board = Board(_knobs(calendar), self._moved, least=LEAST)
        self.controls, self.trouble = self.board.controls, self.board.trouble
        for each in self.controls.values():
            each.slider.continuous_update = False
            each.slider.style.description_width = LABEL
        self._drawn_first = pictures.missions_drawing(calendar, theme)
        named = calendar.programme.name, "missions"
        self.said = widgets.HTML()
        self.figure = LiveFigure(self._drawn_first, pictures.WIDTH, *named)
        picture = widgets.HBox([self.figure], layout={"overflow": "auto"})
        super().__init__([self.board, self.said, picture])
        self._tell()

    def _changed(self) -> Programme:
        """Return the file's programme with what stands elsewhere than there."""
        home = self.board.home
        moved = {key: x for key, x in self.board.values.items() if x != home[key]}
        changes: dict[str, object] = {key: f"{x:.6g} /year" for key, x in moved.items()}
        if START in moved:
            later = self._file.today + timedelta(days=moved[START])
            changes = {**changes, "today": later.isoformat()}
            del changes[START]
        return self._file.change(changes) if changes else self._file

    def _moved(self) -> None:
        before = self.calendar
        self.board.say(BUSY)
        try:
            self.calendar = plan_programme(self._changed(), remedies=False, fly_windows=False)
        except ScenarioError as problems:
            self.trouble.value = notes.trouble(f"Not scheduled: {problems}")
            return
        except KeyboardInterrupt:  # of the kernel, by whom a long search takes too long
            self.trouble.value = notes.trouble("Stopped. Showing the last calendar.")
            return
        self._tell()
        drawing = pictures.missions_drawing(self.calendar, self._theme)
        same = self.board.values == self.board.home
        self.figure.redraw(drawing if same else behind(drawing, self._drawn_first, "the file"))
        self.board.say(self._why_not(before))
        self.keep_soon()

    def _why_not(self, before: Calendar) -> str:
        """Return what keeps a move from changing any date, or the end; "" where the end moves."""
        if self.calendar.finish != before.finish:
            return ""
        held = [x.element for x in readings.critical(self.calendar) if x.kind == "build"]
        names = " and the ".join(dict.fromkeys(plain(x) for x in held if x))
        waits = f"the end waits for the {names}" if names else "the end stays"
        if self.calendar.tasks == before.tasks:
            return f"This changes no date in the calendar: {waits}."
        return f"Tasks move, but {waits}." if names else "Tasks move, but the end stays."

    def _tell(self) -> None:
        """Put the calendar into words: its end, what clashes, and what differs from the file's."""
        said, style = escape(readings.headline(self.calendar)), f'style="{notes.CLOSE}"'
        same = self.board.values == self.board.home
        compared = notes.same_as("the file") if same else notes.compared(self._apart(), "the file")
        head = f'<p role="status" {style}><b>{said}</b></p>{compared}'
        self.said.value = f"{head}<ul {style}>{''.join(self._clashes())}</ul>"

    def _clashes(self) -> Iterator[str]:
        """Yield what clashes, new ones marked, and what does no longer."""
        both = (self.calendar, self._first)
        now, first = (dict.fromkeys(x.text for x in each.clashes) for each in both)
        for text in now:
            mark = "" if text in first else f"{notes.pill(NEW)} "
            yield f"<li>{mark}{escape(text)}</li>"
        for text in first:
            if text not in now:
                yield f"<li>{notes.pill(GONE)} <s>{escape(text)}</s></li>"

    def _apart(self) -> list[tuple[str, TextDifference]]:
        """Return by how much the end is later, and the cost more, than the file's."""
        ends, costs = [], []
        for each in (self.calendar, self._first):
            ends.append(When(datetime.combine(each.finish, time()), "%Y-%m-%d"))
            millions = sum(x.amount for x in each.costs) / readings.MILLION
            costs.append(Number(millions, f"million {each.programme.currency}", 1))
        found = {"the end": ends[0].since(ends[1]), "cost": costs[0].since(costs[1])}
        return [(name, x) for name, x in found.items() if x]
