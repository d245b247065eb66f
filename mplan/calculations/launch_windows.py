"""The launch windows of a day that lead to the Moon at one fixed moment."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time
from math import degrees, pi
from typing import Annotated, NamedTuple

from mplan.physics import constants as c
from mplan.physics.arcs.injection import level
from mplan.physics.arcs.outbound import LunarPassage, Outbound
from mplan.physics.arcs.parking import Parking, Site
from mplan.physics.bodies.time import utc_from_tdb
from mplan.physics.climb import launch_azimuth
from mplan.physics.launching import intervals
from mplan.scenario.arguments import ArgumentError, choice, moment, quantity
from mplan.scenario.launch_site import Azimuth
from mplan.scenario.models import Longitude, LunarAltitude, ParkingAltitude
from mplan.scenario.quantities import Quantity
from mplan.transfer_results import Printed, date_of

SENSES = {"retrograde": -1.0, "prograde": 1.0}
LEAST, MOST = 40.0 * c.HOUR, 130.0 * c.HOUR  # from lift-off to perilune
REVOLUTIONS = range(17)  # a day of them
SiteLatitude = Annotated[
    float, Quantity("angle", at_least="-89 deg", at_most="89 deg", example="28 deg")
]
Climb = Annotated[float, Quantity("time", at_least="3 min", at_most="30 min", example="11.8 min")]
Downrange = Annotated[
    float, Quantity("angle", at_least="5 deg", at_most="60 deg", example="24 deg")
]


class LaunchMoment(NamedTuple):
    """A lift-off at `t` [TDB s past J2000] and the way it leads; angles [rad], SI.

    `azimuth` is the launch azimuth, over ground; `plane_azimuth` that of the orbit over the pad,
    in inertial space.
    """

    t: float
    azimuth: float
    plane_azimuth: float
    inclination: float
    injection: float
    delta_v: float
    time_of_flight: float

    @property
    def utc(self) -> datetime:
        """When it lifts off."""
        return utc_from_tdb(self.t)


@dataclass(frozen=True)
class LaunchWindow:
    """From one lift-off to another the Moon is reached; `side` of the orbit on which it is met."""

    side: str
    opens: LaunchMoment
    closes: LaunchMoment

    @property
    def duration(self) -> float:
        """How long it is open [s]."""
        return self.closes.t - self.opens.t


@dataclass(frozen=True, repr=False)
class LaunchWindows(Printed):
    """The windows of a day, in order of opening, for one `arrival` [TDB s] at perilune."""

    arrival: float
    windows: tuple[LaunchWindow, ...]

    def __iter__(self) -> Iterator[LaunchWindow]:
        """Go through the windows."""
        return iter(self.windows)

    def __len__(self) -> int:
        """Count the windows."""
        return len(self.windows)

    def __getitem__(self, number: int) -> LaunchWindow:
        """Return a window by its number, the first being 0."""
        return self.windows[number]

    def _facts(self) -> Iterator[tuple[str, str]]:
        yield "perilune", date_of(self.arrival)
        for number, each in enumerate(self.windows, start=1):
            yield f"window {number}", f"{each.duration / c.MINUTE:.1f} min, {each.side} side"
            yield "  opens", _moment(each.opens)
            yield "  closes", _moment(each.closes)
        if not self.windows:
            yield "windows", "none on this day"


def launch_windows(
    day: str | date,
    *,
    arrival: str | date,
    latitude: str,
    longitude: str,
    azimuths: Sequence[str] = ("72 deg", "108 deg"),
    parking_altitude: str = "185 km",
    revolutions: int = 1,
    perilune_altitude: str = "110 km",
    approach: str = "retrograde",
    climb: str = "11.8 min",
    downrange: str = "24 deg",
) -> LaunchWindows:
    """Return the lift-offs of a UTC `day` whose planes lead to a perilune at `arrival` (UTC).

    From a launch site (geodetic `latitude`, east `longitude`) along launch azimuths between two,
    as the vehicle flies over the turning ground; where they lie in inertial space
    `physics.climb.launch_azimuth` says. The parking orbit is a circle, left within the revolution
    after `revolutions` whole ones; at the Moon the plane is the one nearest to its equator.
    `climb` and `downrange` lead to insertion (the defaults are those of large three-stage
    vehicles: NASA SP-2000-4029, 705 to 716 s, 53 W). Each end is met by integrated arcs, to 1 s;
    a window ends at an azimuth limit or where no arc is found (Bate, Mueller & White 1971,
    ch. 7, gives the first guess). Published windows of five flights come back within 8 minutes.
    Windows that reach beyond the day are given whole. It takes some seconds, up to a minute where
    every azimuth is allowed. ArgumentError for bad input.

        >>> import mplan
        >>> found = mplan.launch_windows(
        ...     "2031-05-25", arrival="2031-05-29 00:00", latitude="28 deg", longitude="-80 deg",
        ...     azimuths=("80 deg", "95 deg"),
        ... )
        >>> [(each.side, round(each.duration / 60)) for each in found]  # min
        [('ascending', 110), ('descending', 114)]
        >>> f"{found[1].opens.utc:%H:%M}", round(found[1].opens.delta_v)  # UTC, m/s
        ('16:50', 3160)
    """
    begins = moment("day", day)
    if begins != moment("day", _date_only(begins)):
        raise ArgumentError("day", f'"{day}", with a time of day', 'a date, like "2031-05-25"')
    then = moment("arrival", arrival)
    _refuse_apart(begins, then, arrival)
    north = quantity("latitude", latitude, SiteLatitude)
    place = north, quantity("longitude", longitude, Longitude)
    limits = _limits(azimuths, north)
    if revolutions not in REVOLUTIONS or isinstance(revolutions, bool):
        accepted = f"a whole number from 0 to {REVOLUTIONS[-1]}"
        raise ArgumentError("revolutions", repr(revolutions), accepted)
    site = Site(
        *place,
        azimuth=sum(limits) / 2.0,
        climb=quantity("climb", climb, Climb),
        downrange=quantity("downrange", downrange, Downrange),
    )
    radius = c.R_EARTH + quantity("parking_altitude", parking_altitude, ParkingAltitude)
    passage = LunarPassage(
        revolutions=revolutions,
        time_of_flight=then - begins - c.DAY / 2.0,
        perilune=c.R_MOON + quantity("perilune_altitude", perilune_altitude, LunarAltitude),
        plane=level(SENSES[choice("approach", approach, SENSES)]),
        arrival=then,
    )
    found = intervals.open_intervals(Parking(site, radius, begins), limits, passage)
    windows = (LaunchWindow(x.side, _lifting(x.opens), _lifting(x.closes)) for x in found)
    return LaunchWindows(then, tuple(windows))


def _date_only(t: float) -> datetime:
    return datetime.combine(utc_from_tdb(t).date(), time())


def _refuse_apart(begins: float, arrival: float, told: object) -> None:
    """Raise ArgumentError where no flight from the day can come to the Moon at `arrival`."""
    least, most = begins + LEAST, begins + c.DAY + MOST
    if not least <= arrival <= most:
        found = f'"{told}", {(arrival - begins) / c.HOUR:.1f} h after the day begins'
        hours = f"{LEAST / c.HOUR:g} h to {(MOST + c.DAY) / c.HOUR:g} h after it"
        raise ArgumentError("arrival", found, f"{hours}: flights take 40 h to 130 h")


def _limits(azimuths: Sequence[str], latitude: float) -> tuple[float, float]:
    """Return the limits [rad] of the plane's azimuth."""
    if isinstance(azimuths, str) or len(azimuths) != 2:
        raise ArgumentError("azimuths", repr(azimuths), 'two, like ("72 deg", "108 deg")')
    low, high = (quantity("azimuths", each, Azimuth) for each in azimuths)
    if low > high:
        raise ArgumentError("azimuths", repr(tuple(azimuths)), "the lesser one first")
    return launch_azimuth.limits_of_plane(low, high, latitude)


def _lifting(flown: Outbound) -> LaunchMoment:
    site = flown.parking.site
    return LaunchMoment(
        t=flown.lift_off,
        azimuth=launch_azimuth.over_ground(flown.azimuth, site.latitude) % (2.0 * pi),
        plane_azimuth=flown.azimuth,
        inclination=site.inclination,
        injection=flown.injection,
        delta_v=flown.delta_v,
        time_of_flight=flown.perilune.t - flown.injection,
    )


def _moment(at: LaunchMoment) -> str:
    return (
        f"{date_of(at.t)}, azimuth {degrees(at.azimuth):.2f} deg "
        f"(plane {degrees(at.plane_azimuth):.2f}), {at.delta_v:,.1f} m/s, "
        f"{at.time_of_flight / c.HOUR:.2f} h"
    )
