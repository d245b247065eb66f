"""What may scatter, by element, tank and engine, or of all that state nothing of their own."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from mplan.scenario.dispersions.spread import SHARE, Scatter, Spread
from mplan.scenario.table import Key, TomlTable

MassSpread = Annotated[Spread, Scatter("mass", "0.5 %")]
ForceSpread = Annotated[Spread, Scatter("force", "0.5 %")]
IspSpread = Annotated[Spread, Scatter("time", "0.3 %")]
ShareSpread = Annotated[Spread, Scatter(SHARE, "1 %")]
TimeSpread = Annotated[Spread, Scatter("time", "10 min")]
WindSpread = Annotated[Spread, Scatter("speed", "12 m/s", own=True, signed=True)]
AngleSpread = Annotated[Spread, Scatter("angle", "0.2 deg", own=True, signed=True)]


class TankSpreads(TomlTable):
    """How a tank departs from its design."""

    load: MassSpread | None = Field(None, description="Of what is loaded; its size stays.")
    residuals: MassSpread | None = Field(None, description="Of what cannot be used.")
    boil_off: ShareSpread | None = Field(None, description="Of what boils off, or of its heat.")


class EngineSpreads(TomlTable):
    """How engines depart from their design, all of one entry alike."""

    thrust: ForceSpread | None = Field(None, description="Of the thrust of one.")
    isp: IspSpread | None = Field(
        None, description="Of the specific impulse, in vacuum; at sea level in proportion."
    )
    mixture_ratio: ShareSpread | None = Field(
        None, description="Of the mixture ratio; the tank that runs dry first then decides."
    )


class ElementSpreads(TomlTable):
    """How an element departs from its design."""

    dry_mass: MassSpread | None = Field(None, description="Of the dry mass, as stated.")
    tanks: dict[Key, TankSpreads] = Field({}, description="Its tanks, by name.")
    engines: dict[Key, EngineSpreads] = Field({}, description="Its engines, by name.")


class DispersionTable(TomlTable):
    """How far things depart from the plan; what is left out does not. Each draws for itself.

    How burns miss that corrections follow, and how well a state is known then, is told in [errors].
    """

    dry_mass: MassSpread | None = Field(None, description="Of every dry mass, as stated.")
    load: MassSpread | None = Field(None, description="Of every tank's load; its size stays.")
    residuals: MassSpread | None = Field(None, description="Of what every tank cannot give.")
    boil_off: ShareSpread | None = Field(
        None, description="Of what boils off of every tank.", examples=["15 %"]
    )
    thrust: ForceSpread | None = Field(None, description="Of every kind of engine.")
    isp: IspSpread | None = Field(None, description="Of every kind of engine, specific impulse.")
    mixture_ratio: ShareSpread | None = Field(None, description="Of every kind of engine.")
    air_density: ShareSpread | None = Field(
        None, description="Of the air's density in the climb.", examples=["3 %"]
    )
    wind: WindSpread | None = Field(
        None,
        description="In the climb, beside the wind of the day: towards the east and towards the "
        "north, where it is strongest, 10 to 14 km up.",
    )
    burn_size: ShareSpread | None = Field(
        None,
        description="Of the size of each burn that no correction follows and that is not steered "
        "all the way to its target; the same engine takes the error out at once.",
        examples=["0.3 %"],
    )
    burn_direction: AngleSpread | None = Field(
        None, description="Of the direction of the same burns, about each of two axes."
    )
    hover_time: TimeSpread | None = Field(
        None, description="Of the hover before touchdown.", examples=["4 s"]
    )
    docking_time: TimeSpread | None = Field(
        None,
        description="Of every docking, and of the time from the stop beside the ship to contact.",
        examples=["10 %"],
    )
    stay_time: TimeSpread | None = Field(
        None, description="Of every stay at the Moon.", examples=["2 h"]
    )
    elements: dict[Key, ElementSpreads] = Field(
        {}, description="What is otherwise with one element, its tanks and engines."
    )
