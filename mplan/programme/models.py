"""The tables of a programme file."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from pydantic import Field

from mplan.programme.money import LongSpan, Money, Rate, Span
from mplan.scenario.dates import Day
from mplan.scenario.table import Count, Flag, Key, Name, TomlTable, Whole

AnyDay = Annotated[date, Day()]
Learning = Annotated[float, Field(strict=True, ge=0.5, le=1.0)]


class LearningCurve(TomlTable):
    """How unit cost falls with the units built."""

    curve: Literal["unit", "cumulative average"] = Field(
        description='What falls by `slope` at each doubling: the cost of the unit ("unit", '
        'Crawford) or the average of all units up to it ("cumulative average", Wright).'
    )
    slope: Learning = Field(
        description="Cost after a doubling over the cost before it.", examples=[0.9]
    )


class LaunchPad(TomlTable):
    """A pad."""

    turnaround: Span = Field(
        description="From a launch until the next stack may be set up.", examples=["30 d"]
    )


class FlightCrew(TomlTable):
    """A crew that flies together."""

    training: Span = Field(description="Before their first mission.", examples=["400 d"])
    recurrency: Span = Field(
        description="Before each later mission, after the landing of the one before it.",
        examples=["150 d"],
    )
    trained: Flag = Field(False, description="They have flown or trained already.")


class ControlTeam(TomlTable):
    """The people who fly a mission from the ground, in all shifts."""

    recovery: Span = Field(0.0, description="Off duty after a flight.", examples=["21 d"])


class EngineSupply(TomlTable):
    """An engine as it is bought: is it ready, and how long does it take."""

    status: Literal["existing", "in development", "new"] = Field(
        description="How far its development is."
    )
    development: Span = Field(0.0, description="What is left of it, before qualification.")
    qualification: Span = Field(0.0, description="What is left of it, after development.")
    delivery: Span = Field(
        0.0,
        description="From the order to the first set, once qualified; later ones are ordered "
        "ahead.",
        examples=["120 d"],
    )
    development_cost: Money = Field(0.0, description="What is left to pay for both.")
    cost: Money = Field(0.0, description="Of each engine.")


class ElementSupply(TomlTable):
    """An element as it is built, on one line."""

    build_time: LongSpan = Field(description="Of one unit, its engines on hand.")
    rate: Rate = Field(description="How many the line can begin a year.")
    stock: Whole = Field(0, description="Units built and free.", examples=[1])
    under_way: tuple[AnyDay, ...] = Field(
        (), description="When units now being built are ready.", examples=[["2031-09-01"]]
    )
    under_way_build_time: LongSpan | None = Field(
        None,
        description="Build time of the units under way, as they were begun, from which what is "
        "left to pay of them follows; default: build_time.",
        examples=["300 d"],
    )
    development: Span = Field(0.0, description="What is left of it before the first build.")
    shipping: Span = Field(0.0, description="To the pad.", examples=["12 d"])
    engines: dict[Key, Count] = Field({}, description="Engines of a unit, by name.")
    development_cost: Money = Field(0.0, description="What is left to pay, once.")
    cost: Money = Field(0.0, description="Of the first unit, engines apart.", examples=["90 M"])
    built_before: Whole = Field(
        0,
        description="Units built up to now, those in stock and under way among them; for the "
        "learning curve.",
    )


class StatedWindow(TomlTable):
    """Days on which a mission can lift off."""

    opens: AnyDay = Field(description="The first day.")
    closes: AnyDay = Field(description="The last day.")


class LaunchTable(TomlTable):
    """What all launches have in common."""

    name: Name | None = Field(None, description="Default: the key, in words.")
    pad: Key = Field(description="Where it lifts off.", examples=["north"])
    control_team: Key = Field(description="Who flies it from the ground.", examples=["blue"])
    stacking: Span = Field(description="On the pad, up to lift-off.", examples=["30 d"])
    after: tuple[Key, ...] = Field(
        (), description="Missions and test flights that must have ended before it lifts off."
    )
    launch: AnyDay | None = Field(
        None, description="The day it lifts off, where that is settled; default: worked out."
    )
    flown: Flag = Field(False, description="It has lifted off.")
    hardware_ready: AnyDay | None = Field(
        None, description="When all its elements, set aside for it, are done; it draws none then."
    )
    launch_not_before: AnyDay | None = Field(None, description="Earliest day of lift-off.")
    launch_not_after: AnyDay | None = Field(
        None, description="Deadline; a later launch is a clash, not an error."
    )
    windows: tuple[StatedWindow, ...] = Field(
        (), description="Days on which it can lift off; default: any."
    )
    operations_cost: Money = Field(0.0, description="Of the flight itself.", examples=["25 M"])


class ShipTable(TomlTable):
    """A ship of a mission that is launched on its own, as its scenario has it."""

    pad: Key | None = Field(None, description="Where it lifts off; default: as the mission does.")
    stacking: Span | None = Field(
        None,
        description="On its pad, up to lift-off; default: as the mission's.",
        examples=["30 d"],
    )


class PlannedMission(LaunchTable):
    """A mission of the programme."""

    scenario: Name = Field(description="Its scenario file, as seen from this file.")
    crew: Key | None = Field(None, description="Who flies it; default: nobody of [crews].")
    windows_from: Name | None = Field(
        None,
        description="A file of `mplan windows --json`; windows count whose plans close, with "
        "the Sun at a landing within the site's limits.",
    )
    fly_windows: Flag = Field(
        False,
        description="Fly the days on which it may lift off, as the calendar asks for them; windows "
        "count as those of a file do. What was flown is kept on the machine.",
    )
    duration: LongSpan | None = Field(
        None, description="Lift-off to landing; default: as the scenario is flown."
    )
    elements: tuple[Key, ...] | None = Field(
        None, description="What is built for it; default: the stacks of the scenario's ships."
    )
    built_as: dict[Key, Key] = Field(
        {},
        description="Elements of the scenario that come off the line of another in [elements].",
        examples=[{"crew_boosters": "booster_pair"}],
    )
    ships: dict[Key, ShipTable] = Field(
        {},
        description="Its ships that the scenario launches on their own, by name; how many days "
        "ahead each lifts off, the scenario says.",
    )


class FlightTest(LaunchTable):
    """A test flight without crew."""

    duration: LongSpan = Field(description="Lift-off to its end.", examples=["8 d"])
    elements: tuple[Key, ...] = Field(description="What is built for it.")


class Rehearsal(TomlTable):
    """Off-nominal rehearsals: a campaign of failures played through in the control room."""

    control_team: Key = Field(description="Who is drilled.")
    duration: LongSpan = Field(description="Of the campaign.", examples=["20 d"])
    before: Key = Field(description="The mission that it prepares.")
