"""Insertion into lunar orbit fails: what the arc then does, and the burn that brings it home.

The engine is taken not to burn at all; one that stops early leaves the ship on another arc. The
correction is an impulse, made once, at the time that `aborts.home_correction` states; who flies it,
and with what, is for the planner to decide. Crew safety rests on this: a planning study's figures,
no flight procedure.
"""

from __future__ import annotations

from dataclasses import dataclass

from mplan.flight.record import Flight
from mplan.physics.arcs.homeward import flight_path_angle
from mplan.physics.circumlunar.coast_past import CorrectionHome, Fate, coast_past, correct_home

INSERTION = "lunar-orbit insertion"


@dataclass(frozen=True)
class FailedInsertion:
    """What the arc does past the Moon; times in [s] since lift-off, angles in [rad].

    `perigee` is a height over the equatorial radius [m], below zero where the path would lead
    through Earth, without air; `angle` is that at the interface. Both, the time of perigee and
    whether it goes round with Earth's turn are None where the arc does not come back; the angle
    also where it passes above the interface.
    """

    fate: Fate
    perilune: float
    perigee: float | None
    perigee_at: float | None
    angle: float | None
    prograde: bool | None
    corrected_at: float
    correction: float | None  # m/s; None where no burn was found that leads home
    home: float | None  # at the interface, after the correction
    aimed: float  # angle at the interface that the correction is for

    @property
    def wait(self) -> float:
        """From perilune to the correction [s]."""
        return self.corrected_at - self.perilune

    @property
    def perigee_after(self) -> float | None:
        """From perilune to the perigee of the uncorrected arc [s]."""
        return None if self.perigee_at is None else self.perigee_at - self.perilune

    @property
    def home_after(self) -> float | None:
        """From perilune to the interface of the corrected arc [s]."""
        return None if self.home is None else self.home - self.perilune


def of(flight: Flight) -> FailedInsertion | None:
    """Return what follows if insertion fails; None where there is none, or no way to the Moon."""
    legs = [x.leg for x in flight.scenario.events if x.do == "burn"]
    if not flight.dated or INSERTION not in legs:
        return None
    there, lift_off = flight.end.outbound.perilune, flight.end.lift_off
    aimed, wait = flight.scenario.orbits.entry_angle, flight.scenario.aborts.home_correction
    past = coast_past(there)
    angle = None
    if past.end.stop == "entry interface":
        angle = flight_path_angle(past.end.r, past.end.v)
    burn: CorrectionHome | None = None
    if past.fate != "hits the Moon":
        try:
            burn = correct_home(there, wait, aimed)
        except ArithmeticError:
            burn = None
    return FailedInsertion(
        fate=past.fate,
        perilune=there.t - lift_off,
        perigee=past.perigee,
        perigee_at=None if past.t is None else past.t - lift_off,
        angle=angle,
        prograde=past.prograde,
        corrected_at=there.t + wait - lift_off,
        correction=None if burn is None else burn.delta_v,
        home=None if burn is None else burn.interface.t - lift_off,
        aimed=aimed,
    )
