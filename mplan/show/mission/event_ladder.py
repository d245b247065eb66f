"""The timeline as a ladder: phases and crew as bars above, one rung for each turning point.

Ships that were launched on their own, or left by an earlier mission, have a bar and rungs each, on
the clock of the crew's ship: what came before its lift-off stands below zero.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple

from mplan.flight.record import Flight, Moment
from mplan.physics.constants import DAY
from mplan.plan import Plan
from mplan.scenario import Event
from mplan.scenario.wording import plain
from mplan.show.drawn import palette
from mplan.show.drawn.figure import MARGIN, Drawing, Trace
from mplan.show.drawn.palette import Look, Theme
from mplan.show.tables import clock
from mplan.vehicle.stack import crew_on_pad

ROW, EDGES = 19, 66  # px
WIDTH = 860  # px, in a panel
RUNGS = ("lift-off", "burn", "dock", "land", "enter", "splash")
ROOM = 0.0095  # of the time shown, that a letter takes on a bar
TICKS = ((20.0, 1), (120.0, 5), (600.0, 30))  # d: shown up to so many, a tick every so many
# What an event begins, by its leg or kind, with the words for it.
PHASES = {
    "climb": "climb and Earth orbit",
    "translunar injection": "to the Moon",
    "lunar-orbit insertion": "lunar orbit",
    "land": "on the Moon",
    "lunar ascent": "lunar orbit",
    "trans-Earth injection": "home",
}


class Stretch(NamedTuple):
    """Something that lasts: from and to, in days since lift-off."""

    name: str
    begin: float
    end: float


class Rung(NamedTuple):
    """A turning point: its words, days since lift-off, and the ship it is of, "" the main one."""

    text: str
    at: float
    estimate: bool
    ship: str = ""


def drawing(plan: Plan, theme: Theme | None = None) -> Drawing:
    """Return the ladder, time running to the right and down."""
    look = palette.look(theme)
    ships = others(plan)
    lanes = [phases(plan), *crew(plan).values(), *ships.values()]
    heads = ["phase", *(f"aboard {plain(name)}" for name in crew(plan))]
    heads += [f"ship {plain(name)}" for name in ships]
    steps = rungs(plan)
    first, last = _shown(plan, lanes)
    rows = len(lanes) + len(steps)
    return Drawing(
        traces=[
            *(_lane(spans, i, look) for i, spans in enumerate(lanes)),
            _lane_words(lanes, last - first, look),
            _ladder(steps, len(lanes), look),
            _text(steps, len(lanes), (first + last) / 2.0, look),
        ],
        x=palette.axis(
            look,
            title={
                "text": f"days since lift-off at {_utc(plan)} UTC [d]; rungs: UTC (elapsed)",
                "standoff": 6,
            },
            range=[first - 0.01 * (last - first), last + 0.01 * (last - first)],
            dtick=next((tick for most, tick in TICKS if last - first <= most), 100),
            fixedrange=True,
        ),
        y=palette.axis(
            look,
            tickvals=list(range(len(lanes))),
            ticktext=heads,
            range=[rows - 0.4, -0.8],
            showgrid=False,
            fixedrange=True,
            title={"text": ""},
        ),
        height=EDGES + ROW * rows,
        summary=summary(plan),
        look=look,
        more={
            "barmode": "overlay",
            "showlegend": False,
            "margin": {**MARGIN, "t": 8},
        },
    )


def summary(plan: Plan) -> str:
    """Return the ladder in words."""
    ships = (
        f" Ship {plain(name)}, from {spans[0].begin:.1f} d on: {_lasting(spans)}."
        for name, spans in others(plan).items()
    )
    return f"From lift-off at {_utc(plan)} UTC: {_lasting(phases(plan))}.{''.join(ships)}"


def _lasting(spans: Sequence[Stretch]) -> str:
    return ", ".join(f"{span.name} {span.end - span.begin:.1f} d" for span in spans)


def _shown(plan: Plan, lanes: Sequence[Sequence[Stretch]]) -> tuple[float, float]:
    """Return the first and the last day shown."""
    first = min((span.begin for spans in lanes for span in spans), default=0.0)
    return min(0.0, first), plan.flight.duration / DAY


def phases(plan: Plan) -> list[Stretch]:
    """Return the parts of the mission one after the other."""
    begun = _begun(plan.flight)
    if plan.flight.end.free_return is not None:  # no burn turns a flyby round
        state = plan.flight.end
        begun.append(("home", (state.outbound.perilune.t - state.lift_off) / DAY))
    return _joined(begun, plan.flight.duration / DAY)


def others(plan: Plan) -> dict[str, list[Stretch]]:
    """Return the phases of each other ship by name, its wait in the last one.

    Up to when it is docked to, or to the end where it stays on the Moon.
    """
    found = {}
    for name, ship, shift in _other_ships(plan):
        begun = _begun(ship) or [("waits", ship.passages[0].before.elapsed / DAY)]
        end = plan.flight.duration if ship.end.landed else ship.end.elapsed + shift
        at = shift / DAY
        found[name] = _joined([(what, begin + at) for what, begin in begun], end / DAY)
    return found


def _other_ships(plan: Plan) -> Iterator[tuple[str, Flight, float]]:
    """Yield each other ship that shares the clock, with its lift-off on it [s]."""
    for name, ship, shift in plan.flight.ships:
        if name and ship.passages and ship.dated:
            yield name, ship, shift


def _begun(flight: Flight) -> list[tuple[str, float]]:
    """Return which phases a flight's events begin, and when, in days since its lift-off."""
    return [
        (PHASES[kind], each.moment.elapsed / DAY)
        for each in flight.passages
        if (kind := _kind(each.event)) in PHASES
    ]


def _joined(begun: Sequence[tuple[str, float]], last: float) -> list[Stretch]:
    """Return phases one after the other up to the `last` day, those of one name in one."""
    spans: list[Stretch] = []
    for i, (name, begin) in enumerate(begun):
        end = begun[i + 1][1] if i + 1 < len(begun) else last
        if spans and spans[-1].name == name:
            spans[-1] = spans[-1]._replace(end=end)
        else:
            spans.append(Stretch(name, begin, end))
    return spans


def crew(plan: Plan) -> dict[str, list[Stretch]]:
    """Return, for each element that anyone is ever aboard, how many and from when to when."""
    aboard = crew_on_pad(plan.scenario)
    since = dict.fromkeys(aboard, 0.0)
    spans: dict[str, list[Stretch]] = {name: [] for name in aboard}
    for event, moment in _told(plan):
        if event.do == "transfer crew":
            now = (moment.elapsed + event.duration) / DAY
            for name, change in ((event.origin, -event.crew), (event.target, event.crew)):
                _close(spans, name, aboard, since, now)
                aboard[name], since[name] = aboard.get(name, 0) + change, now
    for name in aboard:
        _close(spans, name, aboard, since, plan.flight.duration / DAY)
    return spans


def _close(
    spans: dict[str, list[Stretch]],
    name: str,
    aboard: dict[str, int],
    since: dict[str, float],
    now: float,
) -> None:
    if aboard.get(name):
        spans.setdefault(name, []).append(Stretch(f"{aboard[name]}", since[name], now))
    spans.setdefault(name, [])


def rungs(plan: Plan) -> list[Rung]:
    """Return the turning points in flight order; of several ships, in order of time."""
    own = [
        Rung(_words(plan, moment), moment.elapsed / DAY, moment.estimate)
        for event, moment in _told(plan)
        if event.do in RUNGS
    ]
    theirs = [rung for each in _other_ships(plan) for rung in _rungs_of(plan, *each)]
    return sorted([*theirs, *own], key=lambda x: x.at) if theirs else own


def _rungs_of(plan: Plan, name: str, ship: Flight, shift: float) -> Iterator[Rung]:
    """Yield the turning points of another ship, under its name."""
    for each in ship.passages:
        if each.event.do in RUNGS:
            said = f"{plain(name)}: {each.moment.event}"
            moment = replace(each.moment, event=said, elapsed=each.moment.elapsed + shift)
            yield Rung(_words(plan, moment), moment.elapsed / DAY, moment.estimate, name)


def _told(plan: Plan) -> Iterator[tuple[Event, Moment]]:
    """Yield each event that was flown with its line."""
    return ((each.event, each.moment) for each in plan.flight.passages)


def _kind(event: Event) -> str:
    return event.leg if event.do == "burn" else event.do


def _words(plan: Plan, moment: Moment) -> str:
    utc = f"{plan.flight.utc(moment.elapsed):%d %b %H:%M}"
    since = clock(moment.elapsed)[: -len(":00")]
    return f"{moment.event}, {utc} ({since}{', estimate' if moment.estimate else ''})"


def _utc(plan: Plan) -> str:
    return f"{plan.flight.utc(0.0):%Y-%m-%d %H:%M}"


def _shade(span: Stretch, look: Look) -> tuple[str, str]:
    """Return the colour of a bar, a phase's by its leg, and of the words on it."""
    legs = {
        "climb and Earth orbit": look.climb,
        "to the Moon": look.outbound,
        "lunar orbit": look.lunar_orbit,
        "on the Moon": look.surface,
        "home": look.homeward,
    }
    ink = look.on_main if span.name == "to the Moon" else look.on_second
    return legs.get(span.name, look.quiet), ink


def _lane(spans: list[Stretch], row: int, look: Look) -> Trace:
    return {
        "type": "bar",
        "orientation": "h",
        "base": [span.begin for span in spans],
        "x": [span.end - span.begin for span in spans],
        "y": [row] * len(spans),
        "width": 0.8,
        "marker": {
            "color": [_shade(span, look)[0] for span in spans],
            "line": {"color": look.paper, "width": 1},
        },
        "customdata": [span.name for span in spans],
        "hovertemplate": "%{customdata}: %{x:.2f} d<extra></extra>",
    }


def _lane_words(lanes: list[list[Stretch]], days: float, look: Look) -> Trace:
    """Return what stands on the bars: the names that their bars have room for."""
    placed = [
        (span, row, _shade(span, look)[1])
        for row, spans in enumerate(lanes)
        for span in spans
        if span.end - span.begin > ROOM * days * len(span.name)
    ]
    return {
        "type": "scatter",
        "mode": "text",
        "x": [(span.begin + span.end) / 2.0 for span, _, _ in placed],
        "y": [row for _, row, _ in placed],
        "text": [span.name for span, _, _ in placed],
        "textposition": "middle center",
        "textfont": {"color": [ink for _, _, ink in placed], "size": palette.TEXT_SIZE - 1},
        "hoverinfo": "skip",
    }


def _ladder(steps: list[Rung], first: int, look: Look) -> Trace:
    return {
        "type": "scatter",
        "mode": "markers",
        "x": [rung.at for rung in steps],
        "y": list(range(first, first + len(steps))),
        "marker": {
            "size": 8,
            "color": look.ink,
            "symbol": [_symbol(rung) for rung in steps],
        },
        "hoverinfo": "skip",
    }


def _symbol(rung: Rung) -> str:
    """Return the mark of a rung: another ship's is round, an estimate's is open."""
    return ("circle" if rung.ship else "diamond") + ("-open" if rung.estimate else "")


def _text(steps: list[Rung], first: int, middle: float, look: Look) -> Trace:
    """Return the words beside the rungs, on the side where there is room."""
    sides = ["middle right" if rung.at < middle else "middle left" for rung in steps]
    return {
        "type": "scatter",
        "mode": "text",
        "x": [rung.at for rung in steps],
        "y": list(range(first, first + len(steps))),
        "text": [f"   {rung.text}   " for rung in steps],
        "textposition": sides,
        "textfont": {"color": look.ink, "size": palette.TEXT_SIZE - 1},
        "hoverinfo": "skip",
        "cliponaxis": False,
    }
