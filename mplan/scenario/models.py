"""The tables of a scenario that are not hardware: mission, places, dates, orbits, policy."""

from __future__ import annotations

from datetime import date, time
from math import radians
from typing import Annotated, Literal

from pydantic import Field

from mplan.scenario.events import BurnLeg
from mplan.scenario.moments import Clock, Day
from mplan.scenario.part import Count, Name, Part, Whole
from mplan.scenario.quantities import Length, Mass, MassOrNone, Quantity, Share, Speed, Time

Profile = Literal["lunar-orbit-rendezvous landing", "lunar orbit and return", "free-return flyby"]

Latitude = Annotated[
    float, Quantity("angle", at_least="-90 deg", at_most="90 deg", example="1.7 deg")
]
Longitude = Annotated[
    float, Quantity("angle", at_least="-180 deg", at_most="360 deg", example="148.25 deg")
]
Azimuth = Annotated[float, Quantity("angle", at_least="0 deg", at_most="360 deg")]
EntryAngle = Annotated[
    float, Quantity("angle", at_least="-15 deg", at_most="-4 deg", example="-6.4 deg")
]
Downrange = Annotated[
    float, Quantity("angle", at_least="0 deg", at_most="180 deg", example="18 deg")
]
SunElevation = Annotated[
    float, Quantity("angle", at_least="-90 deg", at_most="90 deg", example="5 deg")
]
Elevation = Annotated[
    float, Quantity("length", at_least="-12 km", at_most="12 km", example="-0.9 km")
]
ParkingAltitude = Annotated[float, Quantity("length", at_least="150 km", at_most="2000 km")]
AngleError = Annotated[
    float, Quantity("angle", at_least="0 deg", at_most="10 deg", example="0.03 deg")
]
TimeOrNone = Annotated[float, Quantity("time", at_least="0 s", example="0.5 s")]
LunarAltitude = Annotated[
    float, Quantity("length", at_least="15 km", at_most="5000 km", example="110 km")
]
LunarApsis = Annotated[
    float, Quantity("length", at_least="5 km", at_most="5000 km", example="17 km")
]
FlybyAltitude = Annotated[
    float, Quantity("length", at_least="15 km", at_most="50000 km", example="300 km")
]
CoastTime = Annotated[float, Quantity("time", at_least="40 h", at_most="130 h", example="72 h")]
LongestDuration = Annotated[float, Quantity("time", above="0 d", at_most="30 d", example="11 d")]

LOW_SUN, HIGH_SUN = radians(5.0), radians(14.0)  # common practice, no source: long, clear shadows


class Mission(Part):
    """Who goes, what for and for how long."""

    name: Name = Field(description="What the mission is called.", examples=["First Landing"])
    profile: Profile = Field(description="The kind of mission.")
    crew: Count = Field(description="Crew at lift-off.", examples=[3])
    landing_crew: Whole = Field(0, description="How many of them land on the Moon.")
    crew_mass: Mass = Field(
        description="Mass of each, suited, with personal gear.", examples=["110 kg"]
    )
    payload_down: MassOrNone = Field(
        0.0,
        description="Carried out and left there: on the Moon, if the mission lands.",
        examples=["250 kg"],
    )
    payload_up: MassOrNone = Field(0.0, description="Brought home from there.", examples=["60 kg"])
    surface_stay: Time | None = Field(None, description="From touchdown to lunar lift-off.")
    lunar_orbit_stay: Time | None = Field(
        None, description="Time in lunar orbit, on a mission that does not land."
    )
    longest_duration: LongestDuration = Field(
        description="What crew and hardware are rated for, lift-off to splashdown."
    )


class LandingSite(Part):
    """Where on the Moon."""

    name: Name = Field(description="What the place is called.", examples=["Sinus Medii"])
    latitude: Latitude = Field(description="Selenographic, north positive.")
    longitude: Longitude = Field(description="Selenographic, east positive.", examples=["1.4 deg"])
    elevation: Elevation = Field(0.0, description="Above the 1737.4 km sphere.")
    sun_min: SunElevation = Field(
        LOW_SUN, description="Lowest Sun at touchdown; common practice is 5 deg."
    )
    sun_max: SunElevation = Field(
        HIGH_SUN, description="Highest Sun at touchdown; common practice is 14 deg."
    )


class Recovery(Part):
    """Where on Earth to come down."""

    name: Name = Field(description="What the area is called.", examples=["South Pacific"])
    latitude: Latitude = Field(description="Of its middle, north positive.", examples=["-10 deg"])
    longitude: Longitude = Field(
        description="Of its middle, east positive; the return is timed to it.",
        examples=["-150 deg"],
    )
    radius: Length = Field(description="How far from the middle help is.", examples=["800 km"])


class Pad(Part):
    """What fits on the pad."""

    height_limit: Length = Field(description="Greatest height of the stack.", examples=["99 m"])
    width_limit: Length = Field(description="Greatest width of the stack.", examples=["11 m"])
    mass_limit: Mass = Field(description="Greatest lift-off mass.", examples=["2900 t"])


class LaunchSite(Part):
    """Where on Earth, and which way."""

    name: Name = Field(description="What the place is called.", examples=["Bowen coast"])
    latitude: Latitude = Field(description="Geodetic, north positive.", examples=["-19.98 deg"])
    longitude: Longitude = Field(description="East positive.")
    azimuth: Azimuth = Field(description="Planned launch azimuth, clockwise from north.")
    azimuth_min: Azimuth = Field(description="Least azimuth that range safety allows.")
    azimuth_max: Azimuth = Field(description="Greatest azimuth that range safety allows.")
    pad: Pad = Field(description="Limits of the pad.")


class Dates(Part):
    """When, and how fast across."""

    launch_day: Annotated[date, Day()] = Field(
        description="Day of lift-off (UTC); the clock time follows from Moon and azimuth."
    )
    launch_time: Annotated[time, Clock()] | None = Field(
        None,
        description="Clock time of lift-off (UTC), if it is fixed: the azimuth then follows.",
        examples=["17:24:40"],
    )
    side: Literal["ascending", "descending"] = Field(
        "descending",
        description="Leg of the parking orbit's plane on which the Moon is met: one a day each.",
    )
    translunar_time: CoastTime | None = Field(
        None, description="Injection to perilune; a free return decides its own."
    )
    transearth_time: CoastTime | None = Field(
        None, description="Return burn to entry interface; a free return decides its own."
    )


class Orbits(Part):
    """Orbits and approaches flown."""

    parking_altitude: ParkingAltitude = Field(description="Circular parking orbit at Earth.")
    parking_revolutions: Whole = Field(1, description="Complete revolutions before the injection.")
    approach: Literal["retrograde", "prograde"] = Field(
        "retrograde", description="Sense in which the Moon is rounded."
    )
    lunar_altitude: LunarAltitude | None = Field(
        None, description="Circular lunar orbit; the flyby alone does without."
    )
    capture_apolune: LunarApsis | None = Field(
        None,
        description="Apolune of a first, elliptic lunar orbit; leave out to go straight in.",
        examples=["310 km"],
    )
    descent_perilune: LunarApsis | None = Field(
        None, description="Where powered descent begins.", examples=["15 km"]
    )
    ascent_perilune: LunarApsis | None = Field(
        None, description="Perilune of the orbit that lunar ascent reaches."
    )
    ascent_apolune: LunarApsis | None = Field(
        None, description="Apolune of the orbit that lunar ascent reaches.", examples=["85 km"]
    )
    flyby_altitude: FlybyAltitude | None = Field(
        None, description="Perilune of a free-return flyby."
    )
    entry_angle: EntryAngle = Field(
        description="Flight-path angle at entry interface, 121.92 km up; negative is down."
    )


class Margins(Part):
    """What is held back."""

    burn: Share = Field(description="Of each burn's delta-v, in the tanks that fly it.")
    burns: dict[BurnLeg, Share] = Field({}, description="Burns with a margin of their own, by leg.")
    flight_performance_reserve: Share = Field(
        description="Of the climb's delta-v, in the stage that reaches orbit.", examples=["0.8 %"]
    )
    residuals: Share = Field(description="Of each load, that cannot be used.")
    mass_growth: Share = Field(description="On every dry mass.", examples=["3 %"])


class Errors(Part):
    """How far burns miss, one standard deviation each: what midcourse corrections take out."""

    speed: Speed = Field(
        description="Of the speed after injection or return burn.", examples=["0.5 m/s"]
    )
    direction: AngleError = Field(description="Of its direction, each way.")
    time: TimeOrNone = Field(
        0.0, description="Of the time the burn ends, along the path.", examples=["0.5 s"]
    )
    correction_size: Share = Field(
        0.0, description="Of a correction, as a share of it.", examples=["1 %"]
    )
    correction_direction: AngleError = Field(0.0, description="Of a correction's direction.")


class Allowances(Part):
    """Delta-v and angles that are stated, not flown."""

    climb_losses: Speed = Field(
        description="Gravity, drag, steering and pressure on the way to orbit.",
        examples=["1750 m/s"],
    )
    climb_downrange: Downrange = Field(
        description="Lift-off to insertion, angle at Earth's centre."
    )
    outbound_correction: Speed | None = Field(
        None, description="On the way to the Moon; [errors] work it out instead."
    )
    homeward_correction: Speed | None = Field(
        None, description="On the way home; [errors] work it out instead.", examples=["8 m/s"]
    )
    approach_and_landing: Speed | None = Field(
        None,
        description="From 150 m/s to touchdown, hover and redesignation included.",
        examples=["427 m/s"],
    )
    rendezvous_and_docking: Speed | None = Field(
        None,
        description="Terminal phase and braking, on top of the phasing burns.",
        examples=["25 m/s"],
    )
