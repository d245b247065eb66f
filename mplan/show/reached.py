"""How far a flight must have come for what is shown of it, and the sentence where it has not.

A flight that ends before its splash has no way to the Moon to draw. Each cell's function says
how far it asks the flight to have come; a sentence is shown in its place where it has not.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import wraps
from typing import ParamSpec, TypeVar

from mplan.flight.record import Flight
from mplan.plan import Plan
from mplan.scenario import Scenario
from mplan.scenario.events import has_burn
from mplan.scenario.problems import PlainError
from mplan.show.drawn.figure import Picture
from mplan.show.notebook import Words, sentence

Given = ParamSpec("Given")
Shown = TypeVar("Shown")
Reach = Callable[[Flight], bool]


class NotShown(PlainError, LookupError):
    """What is to be shown was not flown; the text is the sentence that says why."""


def pad(flight: Flight) -> bool:
    """Ask for nothing flown: what stands on the pad is there always."""
    return True


def climb(flight: Flight) -> bool:
    """Ask for a climb, which need not have reached its orbit."""
    return flight.climb is not None


def splash(flight: Flight) -> bool:
    """Ask for the whole mission."""
    return flight.ended is None


def why_not(flight: Flight, reach: Reach) -> str:
    """Return why the flight does not show what asks for `reach`; "" where it does."""
    if reach(flight) or flight.ended is None:
        return ""
    text = flight.ended.text.rstrip(".")
    return f"Not shown: {text}."


def require(flight: Flight, reach: Reach) -> None:
    """Raise NotShown where the flight has not come as far as `reach` asks."""
    text = why_not(flight, reach)
    if text:
        raise NotShown(text)


def asks_climb(show: Callable[Given, Shown]) -> Callable[Given, Shown | Words]:
    """Decorate a cell's function that shows something of the climb of a Plan among its arguments.

    Where nothing was flown, a sentence is shown instead. So it is where the function itself
    raises NotShown, as a panel does, which flies what it shows.
    """
    return _asks(climb, show)


def asks_splash(show: Callable[Given, Shown]) -> Callable[Given, Shown | Words]:
    """Decorate a cell's function that needs the whole mission, as `asks_climb` does."""
    return _asks(splash, show)


STAYS = "This mission stays at the Moon: nothing comes home."
NOBODY = "Nobody is aboard: no abort is asked for."


def asks_home(show: Callable[Given, Shown]) -> Callable[Given, Shown | Words]:
    """Decorate a cell's function of the way home, as `asks_splash` does.

    It takes a Plan or a Scenario among its arguments; a mission that stays at the Moon has none.
    """
    guarded = asks_splash(show)

    @wraps(show)
    def of_home(*args: Given.args, **named: Given.kwargs) -> Shown | Words:
        for given in (*args, *named.values()):
            scenario = given.scenario if isinstance(given, Plan) else given
            if isinstance(scenario, Scenario) and not comes_home(scenario):
                return sentence(STAYS)
        return guarded(*args, **named)

    return of_home


NO_SHIP = "No ship waits in lunar orbit: nothing at the site depends on where one stands."
NO_ASCENT = "This mission stays on the Moon: nothing lifts off again."


def no_ship(plan: Plan) -> str:
    """Return the sentence of a landing that meets no ship again; "" of any other mission."""
    return _lands_without(plan, "rendezvous", NO_SHIP)


def no_ascent(plan: Plan) -> str:
    """Return the sentence of a landing that nothing lifts off from; "" of any other mission."""
    return _lands_without(plan, "lunar ascent", NO_ASCENT)


def _lands_without(plan: Plan, leg: str, text: str) -> str:
    events = plan.scenario.events
    lands = any(event.do == "land" for event in events)
    return text if lands and not has_burn(events, leg) else ""


def comes_home(scenario: Scenario) -> bool:
    """Tell whether a mission is to end on Earth."""
    return any(event.do in ("enter", "splash") for event in scenario.events)


def _named(shown: Shown, what: str, given: Iterable[object]) -> Shown:
    """Name the file of a picture by the mission and by what it shows; return what is given."""
    if isinstance(shown, Picture):
        plan = next((x for x in given if isinstance(x, Plan)), None)
        shown.called(*([plan.scenario.source.stem] if plan else []), what)
    return shown


def _asks(reach: Reach, show: Callable[Given, Shown]) -> Callable[Given, Shown | Words]:
    @wraps(show)
    def guarded(*args: Given.args, **named: Given.kwargs) -> Shown | Words:
        try:
            for plan in (x for x in (*args, *named.values()) if isinstance(x, Plan)):
                require(plan.flight, reach)
            return _named(show(*args, **named), show.__name__, args)
        except NotShown as reason:
            return sentence(str(reason))

    return guarded
