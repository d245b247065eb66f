"""Eight flown missions planned anew: lift-off, insertion and return burns, entry.

Tables: data/*.csv, mostly from memory of SP-2000-4029 and marked so there. What went into the
flights is taken from them: day, inclination of the parking orbit, times of injection, insertion,
return and entry, altitudes, landing sites. What comes out is compared: the minute of lift-off,
delta-v of insertion and return, speed at entry.

The plane of the lunar orbit is published nowhere, but it follows. It holds the landing site at
landing; and while the crew was down the orbiting craft turned it, by a burn whose size is
known, until it held the site, which the Moon had carried on, at lunar lift-off. Two planes do
that, and a mission that had the choice took the one that is cheaper to enter.
"""

from functools import cache
from itertools import pairwise
from math import acos, asin, atan2, cos, degrees, pi, radians, sin, sqrt

import numpy as np
import pytest
from scipy.optimize import brentq, minimize_scalar

from mplan.physics import constants as c
from mplan.physics import twobody
from mplan.physics.arcs import bplane, homeward, lunar_orbit, nbody, outbound, recovery
from mplan.physics.arcs.parking import Parking, Site
from mplan.physics.bodies import earth, ephemeris, selenography, time
from mplan.physics.burns import finite_burn
from mplan.physics.targeting import Scaling, solve
from mplan.physics.vectors import cross, turned, unit

FT, NMI = 0.3048, 1852.0
MISSIONS = (8, 10, 11, 12, 14, 15, 16, 17)
LOW = c.R_MOON + 60 * NMI  # m, the circular orbit
# From memory: 20 500 lbf, 314 s; the mass is 11's at its insertion. It gives a loss of 2.6 m/s,
# 0.3 %, so that the masses of the others (8 had no lander: 28 t) need not be known better.
SERVICE = {"thrust": 91.2e3, "isp": 314.0, "mass": 43.6e3}
BURN_TO_STATE = 182.0  # s, from the middle of the injection burn to its state, 10 s past its end
IGNITION_TO_MIDDLE = 190.0  # s, of the insertion burn


@pytest.fixture(scope="module")
def flights(table):
    """Return the rows of a mission, from all tables in one."""

    @cache
    def of(mission):
        names = ("parking_orbits", "injections", "manoeuvres", "entries")
        rows = {name: table(name)[mission] for name in names}
        flight = {**rows["parking_orbits"], **rows["injections"], **rows["manoeuvres"]}
        flight["inclination_deg"] = rows["parking_orbits"]["inclination_deg"]
        flight["entry"] = rows["entries"]
        flight["lift_off"] = time.tdb_from_utc(flight["lift_off_utc"])
        if mission == 10:  # surveyed this site of 11's, flying west; a degree of azimuth is 1.5 %
            flight |= {"latitude_deg": 0.71, "longitude_deg": 23.71}
            flight["landing"] = flight["lift_off"] + 100.7 * c.HOUR
        elif flight["landing_utc"]:
            flight["landing"] = time.tdb_from_utc(flight["landing_utc"])
        return flight

    return of


# The plane of the lunar orbit


def site_of(flight, t):
    return unit(
        selenography.site_position(
            radians(flight["latitude_deg"]), radians(flight["longitude_deg"]), t
        )
    )


def normal_along(flight, azimuth):
    """Return the normal of the orbit that passes over the site at landing along an azimuth."""
    t = flight["landing"]
    site, pole = site_of(flight, t), selenography.lunar_pole(t)
    east = unit(cross(pole, site))
    return unit(cross(site, cos(azimuth) * cross(site, east) + sin(azimuth) * east))


def carried(normal, start, end):
    """Return an orbit's normal after the Moon's oblateness turned it from `start` to `end`."""
    pole = selenography.lunar_pole(start)
    rate = lunar_orbit.node_rate(LOW, 0.0, acos(normal @ pole))
    return turned(normal, pole, rate * (end - start))


def turn_needed(flight, azimuth):
    """Return the angle [rad] from the plane to the site at lunar lift-off."""
    up = flight["lift_off"] + flight["lunar_lift_off_get"]
    return asin(carried(normal_along(flight, azimuth), flight["landing"], up) @ site_of(flight, up))


def azimuths(flight):
    """Return the azimuths [rad] at landing for which the flown plane change was the right one."""
    turn = 2.0 * asin(
        flight["plane_change_ft_s"] * FT / 2.0 / twobody.circular_speed(LOW, c.MU_MOON)
    )
    edges = np.radians(np.arange(-120.0, -59.0))

    def off(azimuth):
        return abs(turn_needed(flight, azimuth)) - turn

    return [brentq(off, low, high) for low, high in pairwise(edges) if off(low) * off(high) < 0.0]


def candidates(mission, flight):
    """Return the planes that may have been flown, as normals at landing."""
    found = [-pi / 2] if mission == 10 else azimuths(flight)
    return [normal_along(flight, azimuth) for azimuth in found]


# The translunar leg


def parked(mission, flight):
    """Return the flown parking orbit: from its inclination, north or south of east as it was."""
    latitude = radians(28.608)
    sine = cos(radians(flight["inclination_deg"])) / cos(earth.geocentric_latitude(latitude))
    azimuth = asin(min(1.0, sine))
    site = Site(
        latitude,
        radians(-80.604),
        pi - azimuth if mission == 17 else azimuth,
        climb=flight["get_s"],
        downrange=radians(24.0),
    )
    height = (flight["apogee_nmi"] + flight["perigee_nmi"]) / 2.0 * NMI
    return Parking(site, c.R_EARTH + height, flight["lift_off"] - 6 * c.HOUR)


def fly_out(mission, flight, plane, start=None):
    """Plan the injection: a revolution and a half, over the Pacific; 17 one more, the Atlantic."""
    injection = flight["get"] - BURN_TO_STATE
    return outbound.target_outbound(
        parked(mission, flight),
        revolutions=2 if mission == 17 else 1,
        time_of_flight=flight["insertion_get"] + IGNITION_TO_MIDDLE - injection,
        perilune=c.R_MOON + flight["perilune_nmi"] * NMI,
        plane=plane,
        side="ascending" if mission == 17 else "descending",
        start=start,
    )


def nearest(incoming, normal):
    """Return the normal of the passage nearest to the plane of `normal`."""
    return unit(normal - (normal @ incoming.s) * incoming.s)


def level(incoming, t):
    return nearest(incoming, -selenography.lunar_pole(t))


# The insertion burn


def insertion(incoming, passage, orbit, low, high):
    """Return the burn [m/s] from a passage into the ellipse `low` by `high` [m] of a plane.

    `passage` and `orbit` are normals. The burn is where the planes cross, near perilune (or at
    perilune, if they are one); the ellipse passes there somewhere between its apsides.
    """
    line = cross(passage, orbit)
    e = 1.0 + low * incoming.v_inf**2 / c.MU_MOON
    ahead = cross(passage, incoming.s)
    perilune = incoming.s / e - ahead * sqrt(1.0 - 1.0 / e**2)
    beside = cross(passage, perilune)
    crossing = perilune if np.linalg.norm(line) < 1e-4 else unit(line)
    crossing = crossing * np.sign(crossing @ perilune)
    anomaly = atan2(crossing @ beside, crossing @ perilune)
    p = low * (1.0 + e)
    r = p / (1.0 + e * cos(anomaly))
    pace = sqrt(c.MU_MOON / p)
    v = pace * (-sin(anomaly) * perilune + (e + cos(anomaly)) * beside)
    if not low * (1.0 - 1e-9) <= r <= high:
        return np.inf
    a = (low + high) / 2.0
    wanted = twobody.speed(r, a, c.MU_MOON)
    tilt = acos(min(1.0, low * twobody.speed(low, a, c.MU_MOON) / (r * wanted)))
    along = cross(orbit, crossing)
    return min(
        float(np.linalg.norm(wanted * (cos(x) * along + sin(x) * crossing) - v))
        for x in (tilt, -tilt)
    )


def cheapest(incoming, orbit, low, high):
    """Return the least burn [m/s] into a plane, and the turn [rad] of the passage that has it."""

    def cost(turn):
        passage = turned(nearest(incoming, orbit), incoming.s, turn)
        return insertion(incoming, passage, orbit, low, high)

    turns = np.radians(np.arange(-14.0, 14.5, 0.5))
    best = min(turns, key=cost)
    found = minimize_scalar(cost, bounds=(best - 0.01, best + 0.01), method="bounded")
    return found.fun, found.x


@pytest.fixture(scope="module")
def planned(flights):
    """Return, for a mission, the injection planned with the insertion burn [m/s] it leads to.

    8 landed nobody and was free to enter the plane it came in; the others turn into theirs.
    """

    @cache
    def plan(mission):
        flight = flights(mission)
        low, high = (c.R_MOON + flight[x] * NMI for x in ("perilune_nmi", "apolune_nmi"))
        first = fly_out(mission, flight, level)
        if mission == 8:
            own = level(first.asymptote, first.perilune.t)
            return first, insertion(first.asymptote, own, own, low, high), own
        arrival = first.perilune.t
        orbits = [carried(n, flight["landing"], arrival) for n in candidates(mission, flight)]
        orbit = min(orbits, key=lambda n: cheapest(first.asymptote, n, low, high)[0])
        _, turn = cheapest(first.asymptote, orbit, low, high)

        def plane(incoming, t):
            return turned(nearest(incoming, orbit), incoming.s, turn)

        parking = parked(mission, flight)
        again = fly_out(mission, flight, plane, outbound.unknowns_of(first, parking))
        passage = unit(cross(again.perilune.lunar_r, again.perilune.lunar_v))
        return again, insertion(again.asymptote, passage, orbit, low, high), orbit

    return plan


@pytest.mark.parametrize("mission", MISSIONS)
def test_lift_off(mission, flights, planned):
    """When the Moon's place and the time of arrival ask for it: within 10 min of the flown minute.

    The azimuth is told from the inclination, which near due east tells it poorly, and
    corrections of 5 to 71 ft/s on the way moved the arrival: found here are 0 to 7 min.
    """
    out, _, _ = planned(mission)
    assert (out.lift_off - flights(mission)["lift_off"]) / 60 == pytest.approx(0.0, abs=10.0)


@pytest.mark.parametrize("mission", MISSIONS)
def test_injection(mission, flights, planned):
    """At the flown place of its revolution, 90 s about, for 3.14 to 3.18 km/s.

    The impulse stands for a burn of 5 to 6 min; 90 s are 6 deg of the parking orbit.
    """
    out, _, _ = planned(mission)
    middle = flights(mission)["get"] - BURN_TO_STATE
    assert (out.injection - out.lift_off - middle) / 60 == pytest.approx(0.0, abs=1.5)
    assert 3140.0 < out.delta_v < 3180.0


@pytest.mark.parametrize("mission", MISSIONS)
def test_insertion(mission, flights, planned):
    """Delta-v of the first lunar burn, its loss in time included, within 3 %.

    What the 3 % hold: 0.5 % a burn's own trim, 1 to 2 % the plane (0.3 deg of azimuth from the
    plane change, to a foot a second), 0.3 % the altitude over a Moon that is no sphere, 0.3 %
    the loss.
    """
    flight = flights(mission)
    out, impulse, _ = planned(mission)
    low, high = (c.R_MOON + flight[x] * NMI for x in ("perilune_nmi", "apolune_nmi"))
    slow = twobody.speed(low, (low + high) / 2.0, c.MU_MOON)
    burn = finite_burn.fly_finite(low, slow, impulse, c.MU_MOON, **SERVICE, arriving=True)
    assert burn.delta_v / FT == pytest.approx(flight["insertion_ft_s"], rel=0.03)
    assert np.linalg.norm(out.perilune.lunar_r) == pytest.approx(low, abs=5.0)


@pytest.mark.parametrize("mission", MISSIONS)
def test_nobody_spends_less_than_the_plane_flight(mission, flights, planned):
    """Entered without any turn the ellipse costs less than was flown: by 0 to 12 %.

    The difference is the turn: the plane of a passage that could come home free, or nearly,
    and the plane over the site are 3 to 11 deg apart.
    """
    flight = flights(mission)
    out, impulse, _ = planned(mission)
    low, high = (c.R_MOON + flight[x] * NMI for x in ("perilune_nmi", "apolune_nmi"))
    own = unit(cross(out.perilune.lunar_r, out.perilune.lunar_v))
    straight = insertion(out.asymptote, own, own, low, high)
    assert straight <= impulse + 0.1
    assert 0.87 < straight / FT / flight["insertion_ft_s"] < 1.0


# The way home


def homeward_plane(mission, flight, orbit, arrival):
    """Return the normal of the orbit when the return burn is due."""
    burn = flight["lift_off"] + flight["return_get"] + flight["return_burn_s"] / 2.0
    if mission in (8, 10):
        return carried(-selenography.lunar_pole(burn), burn, burn), burn
    up = flight["lift_off"] + flight["lunar_lift_off_get"]
    normal, site = carried(orbit, arrival, up), site_of(flight, up)
    return carried(nearest(bplane.Asymptote(site, 0.0, site), normal), up, burn), burn


@pytest.fixture(scope="module")
def returned(flights, planned):
    """Return, for a mission, the return burn planned at the flown time, at its best place."""

    @cache
    def plan(mission):
        flight = flights(mission)
        out, _, orbit = planned(mission)
        normal, burn = homeward_plane(mission, flight, orbit, out.perilune.t)
        interface = flight["lift_off"] + flight["entry"]["get"]
        angle = radians(flight["entry"]["flight_path_angle_deg"])
        start = unit(cross(normal, np.array([0.3, 0.2, 1.0])))
        pace = twobody.circular_speed(LOW, c.MU_MOON)
        circle = lunar_orbit.LunarOrbit(burn - c.HOUR, LOW * start, pace * cross(normal, start))
        target = {"time_of_flight": interface - burn, "entry_angle": angle}
        best = homeward.target_return(circle, **target)
        r = best.r - ephemeris.moon(best.t).r
        there = lunar_orbit.LunarOrbit(burn, r, pace * cross(normal, unit(r)))
        return homeward.correct_return(there, best.burn, *target.values(), homeward.SCALING)

    return plan


# On the cheapest way home 15 would have entered at 22 N, for 4.6 % less; it went to 14 N, and for
# that the delta-v comes out right: see below.
CHEAPEST = tuple(mission for mission in MISSIONS if mission != 15)


@pytest.mark.parametrize("mission", CHEAPEST)
def test_return(mission, flights, returned):
    """Delta-v of the return burn within 3 %, from 60 n mi circular at the flown times.

    What the 3 % hold: the place of splash, which the cheapest arc chooses and the flights did
    not (0 to 3 %), 1 % the plane, 0.5 % the orbit's altitude. The loss of so short a burn is
    below 1 m/s.
    """
    found = returned(mission).delta_v / FT
    assert found == pytest.approx(flights(mission)["return_ft_s"], rel=0.03)


@pytest.mark.parametrize("mission", MISSIONS)
def test_speed_at_entry(mission, flights, returned):
    """Within 0.3 %: the speed follows from the time of flight, and little else matters."""
    end = returned(mission).interface
    published = flights(mission)["entry"]
    assert np.linalg.norm(end.v) / FT == pytest.approx(published["speed_ft_s"], rel=3e-3)
    angle = degrees(homeward.flight_path_angle(end.r, end.v))
    assert angle == pytest.approx(published["flight_path_angle_deg"], abs=0.01)


def leave_for(latitude, best, degrees_on, interface, angle):
    """Return burn [m/s] and interface of the arc home that also enters at a `latitude` [deg].

    Three unknowns and three targets, from a place `degrees_on` in the orbit of `best`: NoArc
    where nothing leads there.
    """
    luna = ephemeris.moon(best.t)
    r, v = best.r - luna.r, best.v - best.burn - luna.v
    normal = unit(cross(r, v))
    r, v, start = (turned(x, normal, radians(degrees_on)) for x in (r, v, best.burn))

    def arrive(burn):
        longest = 2 * (interface - best.t)
        return nbody.fly_arc(luna.r + r, luna.v + v + burn, best.t, longest, "earth")

    def miss(burn):
        end = arrive(burn)
        off = degrees(earth.geodetic(end.r, end.t)[0]) - latitude
        return np.array([*homeward.entry_miss(end, interface, angle), off])

    aim = Scaling(np.full(3, 0.01), np.full(3, 30.0), np.array([100.0, 1.0, 0.01]))
    burn = solve(miss, start, aim)
    return burn, arrive(burn)


@pytest.mark.parametrize(
    ("mission", "degrees_on"),
    [(10, 0), (11, 0), (12, 0), (14, -4), (15, -4), (16, 0)],
)
def test_return_to_the_flown_latitude(mission, degrees_on, flights, returned):
    """Asked to enter at the flown latitude too, the arc enters at the flown longitude: 0.3 deg.

    And for a delta-v within 3 %, 15 as well. The cheapest arcs of 14 and 15 enter elsewhere,
    and from their places none leads there: the burn is a minute or two earlier in the orbit,
    about which nothing is known. (0.3 deg is 72 s of the Earth's turning; most are within 0.1.)
    8 is omitted: its longitude comes out 3.2 deg west of the published one, which however lies
    140 n mi short of the range it flew to its splash (both from memory). 17 is omitted: in its
    plane, as J2 and C22 turn it, no arc to the flown latitude was found from places up to 24 deg
    earlier or 12 deg later; from a place found anew there is one, below.
    """
    flight = flights(mission)
    entry = flight["entry"]
    interface = flight["lift_off"] + entry["get"]
    angle = radians(entry["flight_path_angle_deg"])
    burn, end = leave_for(entry["latitude_deg"], returned(mission), degrees_on, interface, angle)
    longitude = degrees(earth.geodetic(end.r, end.t)[1])
    apart = (longitude - entry["longitude_deg"] + 180.0) % 360.0 - 180.0
    assert apart == pytest.approx(0.0, abs=0.3)
    assert np.linalg.norm(burn) / FT == pytest.approx(flight["return_ft_s"], rel=0.03)
    assert np.linalg.norm(end.v) / FT == pytest.approx(entry["speed_ft_s"], rel=1e-3)


@pytest.mark.parametrize("mission", [10, 11, 12, 14, 15, 16, 17])
def test_plane_for_the_flown_latitude(mission, flights, returned):
    """The family of planes home has one that enters at the flown latitude, for the flown burn: 3 %.

    As above, but by `recovery.family`, from its own best place of the revolution: nothing of the
    flown burn's place goes in. Each flown latitude lies within the reach, 15's on the edge.
    """
    flight, best = flights(mission), returned(mission)
    entry = flight["entry"]
    orbit = lunar_orbit.coast(best.leaving, -best.leaving.period / 2.0)
    interface = flight["lift_off"] + entry["get"]
    angle = radians(entry["flight_path_angle_deg"])
    found = recovery.family(orbit, interface - best.t, angle, 0.0)
    low, high = np.degrees(found.reach)
    assert low < entry["latitude_deg"] < high
    tilt, _ = found.cheapest_to(radians(entry["latitude_deg"]))
    burn = np.interp(tilt, found.tilts, found.burns)
    assert burn / FT == pytest.approx(flight["return_ft_s"], rel=0.03)
