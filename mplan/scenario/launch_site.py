"""Places on Earth: the launch site, which way it launches and what its parts allow; stations."""

from __future__ import annotations

from math import radians
from typing import Annotated

from pydantic import Field

from mplan.scenario.geometry import LengthOrNone
from mplan.scenario.models import Latitude, Longitude
from mplan.scenario.quantities import Force, Length, Mass, Quantity
from mplan.scenario.radio.levels import (
    AntennaGain,
    FigureOfMerit,
    NoiseTemperature,
    RadiatedPower,
)
from mplan.scenario.table import Name, TomlTable

StationAltitude = Annotated[
    float, Quantity("length", at_least="-450 m", at_most="6000 m", example="720 m")
]  # the lowest shore, and the highest observatories with room
LowestElevation = Annotated[
    float, Quantity("angle", at_least="0 deg", at_most="60 deg", example="5 deg")
]
LOWEST = radians(5.0)  # common practice, no source: hills, trees and noise of the ground
Azimuth = Annotated[float, Quantity("angle", at_least="0 deg", at_most="360 deg")]


class Pad(TomlTable):
    """What assembly hall, launch platform and pad allow; a limit that is omitted is not checked."""

    door_height: Length | None = Field(
        None,
        description="Clear height of the assembly-hall door above the launch platform's deck; the "
        "stack passes it on its hold-down posts.",
        examples=["104 m"],
    )
    door_width: Length | None = Field(
        None, description="Clear width of the assembly-hall door.", examples=["11 m"]
    )
    hook_height: Length | None = Field(
        None,
        description="Height above the stack's foot that the top of the last element lifted may "
        "reach: the crane's hook, less slings and lifting beam.",
        examples=["106 m"],
    )
    platform_load: Mass | None = Field(
        None,
        description="Mass of the stack at lift-off that the launch platform is designed for.",
        examples=["2900 t"],
    )
    umbilical_reach: Length | None = Field(
        None,
        description="Height above the stack's foot of the highest umbilical: the upper end of the "
        "uppermost element that is loaded on the pad, with cryogenic propellant or kerosene.",
        examples=["80 m"],
    )
    deflector_thrust: Force | None = Field(
        None,
        description="Lift-off thrust that the flame deflector takes, of all engines burning then.",
        examples=["38 MN"],
    )
    foot_width: Length | None = Field(
        None,
        description="Width of the stack's foot, engines and fins included, that hold-down posts "
        "and flame hole take.",
        examples=["10 m"],
    )
    post_height: LengthOrNone = Field(
        0.0,
        description="Height of the hold-down posts under the stack's foot; it counts under the "
        "assembly-hall door only.",
        examples=["1.5 m"],
    )


class LaunchSite(TomlTable):
    """Where on Earth, and which way."""

    name: Name = Field(description="What the place is called.", examples=["Saltmarrow coast"])
    latitude: Latitude = Field(description="Geodetic, north positive.", examples=["-19.98 deg"])
    longitude: Longitude = Field(description="East positive.")
    azimuth: Azimuth = Field(
        description="Planned launch azimuth over the turning ground, as the vehicle leaves the "
        "pad, clockwise from north. The plane of its orbit points nearer to due east."
    )
    azimuth_min: Azimuth = Field(
        description="Least launch azimuth, over ground, that range safety allows."
    )
    azimuth_max: Azimuth = Field(
        description="Greatest launch azimuth, over ground, that range safety allows."
    )
    pad: Pad = Field(Pad(), description="What assembly hall, launch platform and pad allow.")


class StationSite(TomlTable):
    """A ground station: where it stands, how low it sees, and what it receives and sends with."""

    name: Name = Field(description="What the place is called.", examples=["Sonora plain"])
    latitude: Latitude = Field(description="Geodetic, north positive.", examples=["30.2 deg"])
    longitude: Longitude = Field(description="East positive.", examples=["-111.6 deg"])
    altitude: StationAltitude = Field(0.0, description="Above the ellipsoid, WGS 84.")
    lowest_elevation: LowestElevation = Field(
        LOWEST,
        description="Least elevation over the level horizon at which it holds contact; "
        "default: 5 deg (common practice, no source).",
    )
    g_over_t: FigureOfMerit | None = Field(
        None,
        description="Antenna gain over system noise temperature at its lowest elevation; default: "
        "from antenna_gain and noise_temperature, and without these no link margin.",
        examples=["21 dB/K"],
    )
    antenna_gain: AntennaGain | None = Field(
        None, description="Of its receiving antenna, in place of g_over_t.", examples=["44 dBi"]
    )
    noise_temperature: NoiseTemperature | None = Field(
        None,
        description="System noise temperature, the Moon in the beam, in place of g_over_t.",
        examples=["160 K"],
    )
    eirp: RadiatedPower | None = Field(
        None,
        description="Radiated power towards the craft; default: what it sends is not worked out.",
        examples=["66 dBW"],
    )
