"""What a study file states: a mission, what is varied in it, what is told, what is better."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Field

from mplan.scenario.table import Count, Key, Name, TomlTable

Several = Annotated[tuple[Any, ...], Field(min_length=1)]
Kind = Literal["grid", "sweep", "list"]
Climb = Literal["optimised", "kept"]
Best = Literal["least", "most"]


class AxisTable(TomlTable):
    """One thing that is varied: a key of the scenario, the engine of an element, an element."""

    key: str | None = Field(
        None,
        description="A key of the scenario, dotted.",
        examples=["elements.ascent_stage.dry_mass"],
    )
    values: Several | None = Field(
        None, description="Its values, as the scenario has them.", examples=[["110 km", "120 km"]]
    )
    start: Any = Field(
        None, alias="from", description="Its first value, instead of a list.", examples=["110 km"]
    )
    to: Any = Field(None, description="Its last value.", examples=["130 km"])
    step: Any = Field(
        None,
        description="From one value to the next, below zero for a way down.",
        examples=["5 km"],
    )
    count: int | None = Field(
        None, description="Instead of a step: how many values, the ends among them.", examples=[5]
    )
    engine_of: Key | None = Field(
        None,
        description="An element whose engine is varied: each of `engines`, or all that fit.",
        examples=["ascent_stage"],
    )
    engine: Key | None = Field(
        None, description="Which kind of its main engines, where it has several.", examples=["main"]
    )
    engines: tuple[Name, ...] | None = Field(
        None,
        description="Engines of the catalogue, by name or file. Default: what is there, and all "
        "that fit.",
        examples=[["kersey_20", "drugget_18"]],
    )
    counts: tuple[Count, ...] | None = Field(
        None,
        description="How many of each. Default: the counts that give a like thrust.",
        examples=[[1, 2]],
    )
    element: Key | None = Field(
        None,
        description="An element that is taken from each of `files`.",
        examples=["ascent_stage"],
    )
    files: tuple[Name, ...] | None = Field(
        None,
        description="Element files, as seen from this one.",
        examples=[["../elements/corbel_ascent_stage.toml"]],
    )


class CaseEngineTable(TomlTable):
    """An engine of the catalogue that one case has at an element, in place of what is there."""

    engine_of: Key = Field(description="The element.", examples=["ascent_stage"])
    engine: Key | None = Field(
        None, description="Which kind of its main engines, where it has several.", examples=["main"]
    )
    catalogue: Name = Field(
        description="The engine of the catalogue, by name or file.", examples=["kersey_20"]
    )
    count: Count = Field(description="How many of it.", examples=[2])


class CaseTable(TomlTable):
    """One case of a list: what differs from the scenario."""

    values: dict[str, Any] = Field(
        {},
        alias="with",
        description="Values by key of the scenario, dotted and in quotes.",
        examples=[{"mission.surface_stay": "40 h"}],
    )
    elements: dict[Key, Name] = Field(
        {},
        description="Elements that it takes from files, as seen from this one.",
        examples=[{"ascent_stage": "../elements/corbel_ascent_stage.toml"}],
    )
    engines: tuple[CaseEngineTable, ...] = Field(
        (), description="Engines that it has otherwise, one table each."
    )


class ObjectiveTable(TomlTable):
    """A figure of which less, or more, is better."""

    figure: Name = Field(description="One of the plan's figures.", examples=["mass on the pad"])
    best: Best = Field(description="Which is better.")


class StudyTable(TomlTable):
    """A study file as a whole."""

    format: Literal["mplan-study/1"] = Field(description="Version of this file format.")
    name: Name = Field(description="What the study is called.", examples=["Lighter or Longer"])
    scenario: Name = Field(
        description="The mission: a scenario file as seen from this one, or a mission of the kit.",
        examples=["../first_landing.toml"],
    )
    kind: Kind = Field(
        "grid",
        description="All combinations of the axes, each axis by itself, or the `cases` as listed.",
    )
    climb: Climb = Field(
        "optimised",
        description="Whether each climb is steered for most propellant left, or as that of the "
        "scenario.",
    )
    tell: tuple[Name, ...] = Field(
        (),
        description="Figures of each plan that tables have. Default: those of the whole mission.",
        examples=[["tightest margin", "mass on the pad", "margin after powered descent"]],
    )
    axes: tuple[AxisTable, ...] = Field((), description="What is varied, one table each.")
    cases: tuple[CaseTable, ...] = Field((), description="The cases of a list, one table each.")
    objectives: tuple[ObjectiveTable, ...] = Field(
        (), description="What is better; with two or more, the cases that none beats in all."
    )
