"""When a launch can follow to a ship that waits in Earth orbit, and what being late costs."""

from __future__ import annotations

from collections.abc import Sequence
from math import pi

from mplan.physics import constants as c
from mplan.physics.rendezvous.launch_delay import DelayedLaunch
from mplan.plan import Plan
from mplan.show import notebook
from mplan.show.notebook import Table, Words
from mplan.show.reached import asks_splash
from mplan.show.tables import Column, framed
from mplan.studies import second_launch
from mplan.studies.second_launch import FlownPass

DAYS = 6  # of passes shown
LATE = (-10.0, -5.0, 0.0, 5.0, 10.0, 20.0)  # min
NOBODY = "This mission meets no ship in Earth orbit: the Moon alone decides its launch."
NO_PLANE = "With no ship to meet, a delay moves the launch along its own window."
NOT_AT_ALL = "From none of these delays does a rendezvous come about."


@asks_splash
def passes(plan: Plan, days: int = DAYS) -> Words:
    """Return both daily passes into the plane of the ship that waits, each flown to contact.

    What boils off counts from that ship's lift-off to contact, all its elements together; that of
    the ship that comes is not in it. Ready they are once the events between contact and the burn
    for the Moon have taken their time: docking, transfers. Only passes within the azimuth limits
    can be launched into; one that is ready after the burn for the Moon, a time below zero, asks for
    another day of that burn.
    """
    if plan.flight.end.second is None:
        return notebook.sentence(NOBODY)
    leaves, flown = plan.flight.end.outbound.injection, plan.flight.end.lift_off
    columns = (
        Column("lift-off (UTC)", lambda x: f"{plan.flight.utc(x.lift_off - flown):%d %b %H:%M}"),
        Column("pass", lambda x: "northward" if x.northward else "southward"),
        Column("launch azimuth [deg]", lambda x: x.launch_azimuth / c.DEG % 360.0, 1),
        Column("within limits", lambda x: "yes" if x.allowed else "no"),
        Column("ship ahead [deg]", lambda x: x.phase / c.DEG, 0),
        Column("wait [h]", lambda x: x.waited / c.HOUR, 1),
        Column("lift-off to contact [h]", lambda x: x.duration / c.HOUR, 1),
        Column("rendezvous [m/s]", lambda x: x.delta_v, 1),
        Column("boiled off the waiting ship by contact [t]", _boiled, 2),
        Column("ready before the burn for the Moon [h]", lambda x: _before(x, leaves), 1),
        Column("flown", lambda x: "this plan" if abs(x.lift_off - flown) < c.MINUTE else ""),
    )
    return Table(framed(columns, second_launch.passes(plan, days)))


@asks_splash
def delays(plan: Plan, minutes: Sequence[float] = LATE) -> Words:
    """Return what the planned launch becomes when it leaves early or late by some minutes."""
    if plan.flight.end.second is None:
        return notebook.sentence(NO_PLANE)
    found = second_launch.delays(plan, [x * c.MINUTE for x in minutes])
    return Table(framed(_DELAYS, found)) if found else notebook.sentence(NOT_AT_ALL)


def _boiled(each: FlownPass) -> float:
    """Return what the ship that waits has lost by contact [t]."""
    return sum(each.boiled.values()) / 1e3


def _before(each: FlownPass, leaves: float) -> float:
    """Return how long [h] before a burn at `leaves` [TDB s] a pass has the ships ready for it."""
    return (leaves - each.lift_off - each.ready) / c.HOUR


def _azimuth(each: DelayedLaunch) -> float:
    return each.launch.chaser.parking.site.launch_azimuth % (2.0 * pi) / c.DEG


_DELAYS = (
    Column("late by [min]", lambda x: x.delay / c.MINUTE, 0),
    Column("launch azimuth [deg]", _azimuth, 1),
    Column("between the planes [deg]", lambda x: x.between_planes / c.DEG, 2),
    Column("lift-off to contact [h]", lambda x: x.duration / c.HOUR, 1),
    Column("rendezvous [m/s]", lambda x: x.delta_v, 1),
)
