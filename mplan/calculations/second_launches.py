"""The launches that can follow a first one into its Earth orbit, to meet it there."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from math import degrees, pi
from typing import Annotated, NamedTuple

from mplan.calculations.launch_windows import Climb, Downrange, SiteLatitude
from mplan.physics import constants as c
from mplan.physics.arcs.parking import Parking, Site
from mplan.physics.bodies.time import utc_from_tdb
from mplan.physics.climb import launch_azimuth
from mplan.physics.rendezvous.daily_passes import daily_passes
from mplan.physics.rendezvous.impulses import NoMeeting
from mplan.physics.rendezvous.launch_delay import DelayedLaunch, flown_after
from mplan.physics.rendezvous.launch_passes import LaunchPass, Orbiting
from mplan.physics.rendezvous.terms import Terms
from mplan.scenario.arguments import ArgumentError, moment, quantity
from mplan.scenario.launch_site import Azimuth
from mplan.scenario.models import Longitude, ParkingAltitude
from mplan.scenario.quantities import Quantity
from mplan.transfer_results import Printed, date_of

BELOW = 40e3  # m at least, of the insertion orbit under the target: the coelliptic one lies between
Days = Annotated[float, Quantity("time", at_least="1 d", at_most="60 d", example="5 d")]
Late = Annotated[float, Quantity("time", at_least="-30 min", at_most="30 min", example="5 min")]


class SecondLaunch(NamedTuple):
    """A lift-off at `t` [TDB s past J2000] that leads to the first craft; angles [rad], SI.

    `azimuth` is the launch azimuth, over ground. `phase`: by how much the first craft is ahead at
    insertion, 0..2 pi. `waited` [s] goes by from insertion until the rendezvous begins, `duration`
    from lift-off to contact. `between_planes` is turned away on the way; it is part of `delta_v`.
    """

    t: float
    northward: bool
    azimuth: float
    phase: float
    waited: float
    duration: float
    between_planes: float
    delta_v: float

    @property
    def utc(self) -> datetime:
        """When it lifts off."""
        return utc_from_tdb(self.t)


@dataclass(frozen=True, repr=False)
class SecondLaunches(Printed):
    """The launches in order of lift-off, after a first one at `first` [TDB s]."""

    first: float
    inclination: float
    launches: tuple[SecondLaunch, ...]

    def __iter__(self) -> Iterator[SecondLaunch]:
        """Go through the launches."""
        return iter(self.launches)

    def __len__(self) -> int:
        """Count the launches."""
        return len(self.launches)

    def __getitem__(self, number: int) -> SecondLaunch:
        """Return a launch by its number, the first being 0."""
        return self.launches[number]

    def _facts(self) -> Iterator[tuple[str, str]]:
        yield "first lift-off", date_of(self.first)
        yield "inclination", f"{degrees(self.inclination):.2f} deg"
        for each in self.launches:
            yield (
                date_of(each.t),
                f"azimuth {degrees(each.azimuth):.1f} deg, phase {degrees(each.phase):.0f} deg, "
                f"contact after {each.duration / c.HOUR:.1f} h, {each.delta_v:.1f} m/s",
            )


def second_launches(
    first: str | datetime,
    *,
    azimuth: str,
    latitude: str,
    longitude: str,
    target_altitude: str,
    parking_altitude: str = "185 km",
    days: str = "5 d",
    late: str = "0 min",
    climb: str = "11.8 min",
    downrange: str = "24 deg",
) -> SecondLaunches:
    """Return the launches that can meet a craft which lifted off at `first` (UTC) and waits.

    It left the launch site (geodetic `latitude`, east `longitude`) along a launch `azimuth`, over
    ground, for a circle at `target_altitude`. The second goes from the same site to a lower circle,
    twice a day, as the site passes through the plane; waits there until the phase is right; and
    goes alongside by way of a coelliptic orbit 15 nautical miles below, braking at gates. With
    `late`, each leaves so long after its time (before it, where negative), along the azimuth whose
    plane is nearest; what is between the planes is turned away where they cross.

    Both orbits turn by Earth's J2 (secular rates, Vallado 2013, sec. 9.6); the rendezvous is flown
    in two bodies, burns as impulses; no drag. December 1965's rendezvous comes back within 4 ft/s
    of each published burn. Limits of the azimuth are the range's: none is applied here.
    ArgumentError for bad input.

        >>> import mplan
        >>> found = mplan.second_launches(
        ...     "2032-05-14 12:00", azimuth="80 deg", latitude="28 deg", longitude="-80 deg",
        ...     target_altitude="260 km", days="2 d",
        ... )
        >>> [(f"{x.utc:%d %H:%M}", round(x.duration / 3600)) for x in found]  # UTC, h
        [('14 14:28', 50), ('15 11:29', 68), ('15 13:53', 26), ('16 10:55', 43)]
        >>> round(found[0].delta_v)  # m/s
        51
    """
    t = moment("first", first)
    north = quantity("latitude", latitude, SiteLatitude)
    plane = launch_azimuth.of_plane(quantity("azimuth", azimuth, Azimuth), north)
    site = Site(
        north,
        quantity("longitude", longitude, Longitude),
        azimuth=plane,
        climb=quantity("climb", climb, Climb),
        downrange=quantity("downrange", downrange, Downrange),
    )
    high, low = (
        c.R_EARTH + quantity(name, value, ParkingAltitude)
        for name, value in (
            ("target_altitude", target_altitude),
            ("parking_altitude", parking_altitude),
        )
    )
    if high - low < BELOW:
        accepted = f"{BELOW / 1e3:g} km or more below the target's"
        raise ArgumentError("parking_altitude", f'"{parking_altitude}"', accepted)
    target = Orbiting(Parking(site, high, t), t)
    span, delay = quantity("days", days, Days), quantity("late", late, Late)
    terms = Terms()
    try:
        found = daily_passes(Parking(site, low, t), target, terms, span / c.DAY)
        flown = [flown_after(each, terms, delay) for each in found]
    except NoMeeting as problem:
        accepted = "orbits in which the two can meet"
        raise ArgumentError(
            "target_altitude", f'"{target_altitude}": {problem}', accepted
        ) from None
    return SecondLaunches(t, site.inclination, tuple(map(_told, flown)))


def _told(flown: DelayedLaunch) -> SecondLaunch:
    launch: LaunchPass = flown.launch
    return SecondLaunch(
        t=launch.chaser.lift_off,
        northward=launch.northward,
        azimuth=launch.chaser.parking.site.launch_azimuth % (2.0 * pi),
        phase=launch.phase % (2.0 * pi),
        waited=launch.wait,
        duration=flown.duration,
        between_planes=flown.between_planes,
        delta_v=flown.delta_v,
    )
