"""The tables of a scenario that are not hardware: mission, places, dates, orbits, policy."""

from __future__ import annotations

from datetime import date, time
from math import radians
from typing import Annotated, Literal

from pydantic import Field

from mplan.scenario.dates import Clock, Day
from mplan.scenario.events import BurnLeg
from mplan.scenario.profiles.names import Profile
from mplan.scenario.quantities import (
    MassOrNone,
    Quantity,
    Share,
    Speed,
    Time,
    Turn,
)
from mplan.scenario.table import Name, TomlTable, Whole

Latitude = Annotated[
    float, Quantity("angle", at_least="-90 deg", at_most="90 deg", example="1.7 deg")
]
Longitude = Annotated[
    float, Quantity("angle", at_least="-180 deg", at_most="360 deg", example="148.25 deg")
]
ApproachAzimuth = Annotated[
    float, Quantity("angle", at_least="-180 deg", at_most="360 deg", example="269 deg")
]
EntryAngle = Annotated[
    float, Quantity("angle", at_least="-15 deg", at_most="-4 deg", example="-6.4 deg")
]
EntryRange = Annotated[
    float, Quantity("length", at_least="1000 km", at_most="6000 km", example="2800 km")
]
# The widest is anywhere on Earth: half way round it.
RecoveryRadius = Annotated[
    float, Quantity("length", at_least="1 km", at_most="20100 km", example="800 km")
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
PositionError = Annotated[
    float, Quantity("length", at_least="0 m", at_most="1000 km", example="2 km")
]
SpeedError = Annotated[
    float, Quantity("speed", at_least="0 m/s", at_most="100 m/s", example="0.1 m/s")
]
TimeOrNone = Annotated[float, Quantity("time", at_least="0 s", at_most="10 min", example="0.5 s")]
LunarAltitude = Annotated[
    float, Quantity("length", at_least="15 km", at_most="5000 km", example="110 km")
]
LunarApsis = Annotated[
    float, Quantity("length", at_least="5 km", at_most="5000 km", example="17 km")
]
# Half of the Moon's Hill sphere: further out Earth takes an orbit to pieces within revolutions.
LunarApolune = Annotated[
    float, Quantity("length", at_least="15 km", at_most="30000 km", example="6000 km")
]
LunarInclination = Annotated[
    float, Quantity("angle", at_least="0 deg", at_most="180 deg", example="90 deg")
]
ArgumentOfPerilune = Annotated[
    float, Quantity("angle", at_least="0 deg", at_most="360 deg", example="270 deg")
]
FlybyAltitude = Annotated[
    float, Quantity("length", at_least="15 km", at_most="50000 km", example="300 km")
]
CoastTime = Annotated[float, Quantity("time", at_least="40 h", at_most="130 h", example="72 h")]
LongestDuration = Annotated[
    float, Quantity("time", at_least="1 h", at_most="400 d", example="11 d")
]

TranslunarArc = Literal["free", "free return", "hybrid"]
Crew = Annotated[
    int, Field(strict=True, ge=0, le=20)
]  # far above any lunar ship proposed; no source
Revolutions = Annotated[int, Field(strict=True, ge=0, le=100)]  # six days

CaptureRevolutions = Annotated[int, Field(strict=True, ge=1, le=3)]

LOW_SUN, HIGH_SUN = radians(5.0), radians(14.0)  # common practice, no source: long, clear shadows


class Mission(TomlTable):
    """Who goes, what for and for how long."""

    name: Name = Field(description="What the mission is called.", examples=["First Landing"])
    profile: Profile = Field(description="The kind of mission.")
    crew: Crew = Field(description="Crew at lift-off; 0 on a cargo flight.", examples=[3])
    landing_crew: Whole = Field(0, description="How many of them land on the Moon.")
    crew_mass: MassOrNone = Field(
        0.0,
        description="Mass of each, suited, with personal gear; only a cargo flight does without.",
        examples=["110 kg"],
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


class LandingSite(TomlTable):
    """Where on the Moon."""

    name: Name = Field(description="What the place is called.", examples=["Sinus Aestuum"])
    latitude: Latitude = Field(description="Selenographic, north positive.")
    longitude: Longitude = Field(description="Selenographic, east positive.", examples=["1.4 deg"])
    elevation: Elevation = Field(0.0, description="Above the 1737.4 km sphere.")
    sun_min: SunElevation = Field(
        LOW_SUN, description="Lowest Sun at touchdown; common practice is 5 deg."
    )
    sun_max: SunElevation = Field(
        HIGH_SUN, description="Highest Sun at touchdown; common practice is 14 deg."
    )


class Recovery(TomlTable):
    """Where on Earth to come down."""

    name: Name = Field(description="What the area is called.", examples=["South Pacific"])
    latitude: Latitude = Field(
        description="Latitude of its middle, north positive; where the cheapest return leads "
        "further off than half the radius, its plane is tilted.",
        examples=["-10 deg"],
    )
    longitude: Longitude = Field(
        description="Longitude of its middle, east positive; the return is timed to it.",
        examples=["-150 deg"],
    )
    radius: RecoveryRadius = Field(
        description="How far from the middle recovery forces reach.", examples=["800 km"]
    )
    downrange: EntryRange | None = Field(
        None,
        description="From the entry interface to the splash, over the ground, that the return and "
        "the entry's lift are aimed for; default: 2400 km (common practice, no source).",
        examples=["2800 km"],
    )


class Dates(TomlTable):
    """When, and how fast across."""

    launch_day: Annotated[date, Day()] = Field(
        description="Day of lift-off (UTC); the clock time follows from Moon and azimuth."
    )
    launch_time: Annotated[time, Clock()] | None = Field(
        None,
        description="Clock time of lift-off (UTC), if it is fixed: the azimuth then follows.",
        examples=["17:24:40"],
    )
    decision_day: Annotated[date, Day()] | None = Field(
        None,
        description="Day on which the hardware is decided on, from which engines' delivery times "
        "count; default: they are not checked.",
        examples=["2029-01-15"],
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


class Orbits(TomlTable):
    """Orbits and approaches flown."""

    parking_altitude: ParkingAltitude = Field(description="Circular parking orbit at Earth.")
    parking_revolutions: Revolutions = Field(
        1, description="Complete revolutions before the injection; 100 take six days."
    )
    translunar_arc: TranslunarArc = Field(
        "free",
        description="What the arc to the Moon does if nothing burns there. Free: what it may; free "
        "return: it comes back to the entry angle, past the lunar orbit's own height, and decides "
        "the time to the Moon; hybrid: it leaves a free return on the way, by a hybrid transfer "
        "among the events.",
    )
    free_return_perilune: FlybyAltitude | None = Field(
        None,
        description="Perilune of the free return that a hybrid leaves, above the 1737.4 km sphere; "
        "default: where a free return passes the Moon in dates.translunar_time; the time of "
        "any other is made up by the transfer.",
        examples=["1500 km"],
    )
    approach: Literal["retrograde", "prograde"] = Field(
        "retrograde",
        description="Sense in which the Moon is rounded; lunar_inclination tells it as well.",
    )
    approach_azimuth: ApproachAzimuth | None = Field(
        None,
        description="Course of the lunar orbit over the landing site at landing, clockwise from "
        "the Moon's north: burns into lunar orbit turn into that plane, shared for the least sum; "
        "default: none turns, the arrival leads over the site in the plane nearest to the Moon's "
        "equator.",
        examples=["269 deg"],
    )
    plane_turn: Literal["shared", "at insertion"] = Field(
        "shared",
        description="Which burns turn into the plane of the approach azimuth: those that insert, "
        "circularise and change the plane, shared for the least sum, or the insertion alone.",
    )
    lunar_gravity: Literal["degree 2", "degree 8"] = Field(
        "degree 2",
        description="The Moon's field in lunar orbit and on the way home from it: J2 and C22 "
        "alone, or GRAIL's to degree 8, which moves a low orbit's perilune by kilometres a day. "
        "Where that perilune settles over months is not told: terms left out weigh as much there.",
        examples=["degree 8"],
    )
    lunar_altitude: LunarAltitude | None = Field(
        None,
        description="Lunar orbit, above the 1737.4 km sphere: of a circle or, with lunar_apolune, "
        "its perilune; the flyby alone does without.",
    )
    lunar_apolune: LunarApolune | None = Field(
        None,
        description="Apolune of an elliptic lunar orbit, above the 1737.4 km sphere, as it is when "
        "the last burn into it ends: Earth's pull and the Moon's field move both apsides from then "
        "on; default: a circle.",
    )
    lunar_inclination: LunarInclination | None = Field(
        None,
        description="Inclination of the lunar orbit to the Moon's equator, above 90 deg against "
        "the Moon's turn, on a mission that does not land: the way to the Moon is aimed for it, "
        "past the Moon's north; default: as near to the equator as the arrival lets it.",
    )
    lunar_argument_of_perilune: ArgumentOfPerilune | None = Field(
        None,
        description="Argument of perilune of an elliptic lunar orbit: 270 deg has it furthest "
        "south. It is reached from a circle at lunar_altitude, by a burn at that place; default: "
        "perilune stays where the arrival has it, which is cheapest and is reported.",
    )
    capture_apolune: LunarApolune | None = Field(
        None,
        description="Apolune of a first, elliptic lunar orbit, above the 1737.4 km sphere; "
        "default: straight in.",
        examples=["310 km"],
    )
    capture_revolutions: CaptureRevolutions = Field(
        1,
        description="Elliptic orbits, a revolution each, from the one of capture_apolune down to "
        "the lunar orbit: apolune is lowered at one perilune after the other, by burns of like "
        "duration.",
        examples=[3],
    )
    capture_plane_change: Turn | None = Field(
        None,
        description="By how much the course turns to the north at that apolune, before the circle: "
        "three burns into lunar orbit; default: one or two burns.",
        examples=["8 deg"],
    )
    heights_above: Literal["sphere", "site"] | None = Field(
        None,
        description="What descent_perilune, ascent_perilune and ascent_apolune are counted from: "
        "the 1737.4 km sphere, or the landing site, at its elevation; default: the sphere. "
        "The other heights at the Moon are always counted from the sphere.",
    )
    descent_perilune: LunarApsis | None = Field(
        None,
        description="Where powered descent begins, above what heights_above says.",
        examples=["15 km"],
    )
    ascent_perilune: LunarApsis | None = Field(
        None,
        description="Perilune of the orbit that lunar ascent reaches, above what heights_above "
        "says.",
    )
    ascent_apolune: LunarApsis | None = Field(
        None,
        description="Apolune of the orbit that lunar ascent reaches, above what heights_above "
        "says.",
        examples=["85 km"],
    )
    flyby_altitude: FlybyAltitude | None = Field(
        None, description="Perilune of a free-return flyby, above the 1737.4 km sphere."
    )
    entry_angle: EntryAngle = Field(
        radians(-6.4),
        description="Flight-path angle at entry interface, 121.92 km up; negative is down. Only a "
        "mission that stays at the Moon does without.",
    )


class Margins(TomlTable):
    """Margins and reserves."""

    burn: Share = Field(description="Of each burn's delta-v, reserved in the tanks that fly it.")
    burns: dict[BurnLeg, Share] = Field({}, description="Burns with a margin of their own, by leg.")
    flight_performance_reserve: Share = Field(
        description="Of the climb's delta-v, reserved in the stage that reaches orbit.",
        examples=["0.8 %"],
    )
    residuals: Share = Field(
        description="Of each load, that cannot be used, where a tank does not state its own."
    )
    mass_growth: Share = Field(description="On every dry mass.", examples=["3 %"])


class ErrorBudget(TomlTable):
    """How far burns miss, one standard deviation each; midcourse corrections take it out."""

    speed: Speed = Field(
        description="Error of the speed after injection or return burn.", examples=["0.5 m/s"]
    )
    direction: AngleError = Field(description="Error of its direction, about each of two axes.")
    time: TimeOrNone = Field(
        0.0,
        description="Error of the time at which the burn ends, along the path.",
        examples=["0.5 s"],
    )
    correction_size: Share = Field(
        0.0, description="Error of a correction's size, as a share of it.", examples=["1 %"]
    )
    correction_direction: AngleError = Field(0.0, description="Error of a correction's direction.")
    position_known: PositionError = Field(
        0.0,
        description="Error of the known position when a correction is made, on each of three axes.",
        examples=["2 km"],
    )
    speed_known: SpeedError = Field(
        0.0,
        description="Error of the known velocity then, on each of three axes.",
        examples=["0.1 m/s"],
    )


class Allowances(TomlTable):
    """Delta-v that is stated, not flown."""

    outbound_correction: Speed | None = Field(
        None, description="On the way to the Moon; [errors] work it out instead."
    )
    homeward_correction: Speed | None = Field(
        None, description="On the way home; [errors] work it out instead.", examples=["8 m/s"]
    )
