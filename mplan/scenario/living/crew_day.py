"""How a person spends the day, and walks on the surface: what activity asks of life support."""

from __future__ import annotations

from functools import cached_property
from typing import Annotated

from pydantic import Field

from mplan.physics.constants import DAY, HOUR
from mplan.scenario.quantities import Quantity
from mplan.scenario.table import Count, TomlTable

Hours = Annotated[float, Quantity("time", at_least="0 h", at_most="12 h", example="8 h")]
WalkTime = Annotated[float, Quantity("time", at_least="10 min", at_most="12 h", example="4 h")]
# From what a sleeper needs to what the fittest can do for minutes (common practice, no source).
Metabolic = Annotated[
    float,
    Quantity("power", at_least="50 W", at_most="1500 W", why="a living person", example="139 W"),
]

SLEEP, EXERCISE = 8.0 * HOUR, 1.5 * HOUR  # a day, with what follows exercise
SLEEPING, EXERCISING, AWAKE = 88.0, 377.0, 138.88  # W: a mean of 136.81 W, 11.82 MJ a day
WALKING = 272.0  # W: 234 kcal/h, mean of the surface walks of the first six landings


class CrewDay(TomlTable):
    """A person's day aboard and the heat given off in its parts; oxygen and air follow the heat."""

    sleep: Hours = Field(SLEEP, description="Sleep a day. Default: 8 h.")
    exercise: Hours = Field(
        EXERCISE,
        description="Exercise a day, with the time after it. Default: 1.5 h (from memory).",
    )
    sleeping: Metabolic = Field(
        SLEEPING, description="Metabolic rate asleep. Default: 88 W (from memory)."
    )
    exercising: Metabolic = Field(
        EXERCISING, description="Mean metabolic rate of that time. Default: 377 W (from memory)."
    )
    awake: Metabolic = Field(
        AWAKE,
        description="Metabolic rate at work and rest. Default: 138.88 W, which gives the mean day "
        "its 11.82 MJ (NASA/CR-2004-208941).",
    )

    @cached_property
    def waking(self) -> float:
        """Time awake and not at exercise [s a day]; walks take of it."""
        return DAY - self.sleep - self.exercise

    @cached_property
    def activity(self) -> float:
        """Mean metabolic rate of a day aboard, over that of the day that the rates are of."""
        return self.mean / MEAN

    @cached_property
    def mean(self) -> float:
        """Mean metabolic rate of a day aboard [W]."""
        parts = self.sleep * self.sleeping + self.exercise * self.exercising
        return (parts + self.waking * self.awake) / DAY


MEAN = CrewDay().mean  # W, of the day on which published rates of oxygen and water hold


class SurfaceWalks(TomlTable):
    """Walks on the Moon, spread evenly over the stay."""

    count: Count = Field(description="How often the hatch is opened.", examples=[2])
    duration: WalkTime = Field(description="Of one, on the supplies of the suit.")
    crew: Count = Field(description="How many go out together.", examples=[2])
    metabolic_rate: Metabolic = Field(
        WALKING,
        description="Mean metabolic rate outside. Default: 272 W (mean of flown surface walks, "
        "NASA SP-368, from memory).",
    )
