"""The pitchover angle that leaves most propellant in the last stage."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from math import exp, log

from mplan.physics.climb import launch_climb
from mplan.physics.climb.guidance import InsertionAim
from mplan.physics.climb.launch_climb import LaunchClimb
from mplan.physics.climb.launch_vehicle import Launch, LaunchVehicle
from mplan.physics.climb.profile import ClimbSteering
from mplan.physics.constants import DEG
from mplan.physics.roots import highest

PITCHOVER_ANGLES = tuple(0.06 * 1.8**i * DEG for i in range(12))  # up to 39 deg
PAST = 0.95  # of the most propellant left: two in a row below it lie past the hump
NEAR = 0.005  # of the angle: the propellant left is flat here, some kg
# The best angle goes about as this power of the excess of thrust over weight at lift-off: found
# by flying a vehicle with its stages shortened and loaded more.
EXCESS, MOST_SCALED = 2.9, 50.0
USUAL = 107.0 * DEG  # at an excess of one, by the same vehicle: no vehicle has it
STRIDE, LONG_STRIDE = 0.08, 0.3  # of the logarithm; from where no orbit is reached, long
LONGER, WALK = 1.6, 5  # times the stride before, and how many
FAR = log(2.0)  # from the usual angle, in the logarithm
MOST_AHEAD = 3.0  # steps between solutions, by which the next one is guessed
LOOK, FARTHEST = 0.1, 0.35  # of the angle that is kept
SAME_THRUST, SAME_WAY, SAME_HEIGHT = 1e-3, 2.0 * DEG, 8e3  # 1, rad, m: near another climb


@lru_cache(maxsize=64)
def best_climb(vehicle: LaunchVehicle, launch: Launch, of: str = "") -> LaunchClimb:
    """Return the climb whose pitchover angle leaves most, found by parabolas.

    `of` names the vehicle to people. One that cannot reach its orbit by any angle is flown by the
    one that comes nearest.
    """
    if launch_climb.lifts_off(vehicle, launch) <= 1.0:
        return launch_climb.fly_climb(
            vehicle, launch, ClimbSteering(PITCHOVER_ANGLES[3], of=of), optimised=True
        )
    if launch.pitchover_angle is not None:
        stated = ClimbSteering(launch.pitchover_angle, of=of)
        return launch_climb.fly_climb(vehicle, launch, stated, optimised=True)
    search = _Search(vehicle, launch)
    angle = _best_angle(search)
    return launch_climb.fly_climb(
        vehicle, launch, ClimbSteering(angle, search.aim, of), optimised=True
    )


def climb_like(vehicle: LaunchVehicle, launch: Launch, other: LaunchClimb) -> LaunchClimb:
    """Return the climb steered as another one.

    Where vehicle and launch are the same, it is the other one itself. The angle is scaled by the
    thrust at lift-off and, where they differ much, trimmed by three looks ahead: what is left
    then lies within 0.2 % of the best. One that does not reach orbit so is steered for itself.
    """
    if (vehicle, launch) == (other.vehicle, other.launch):
        return other
    if launch.pitchover_angle is not None:
        return best_climb(vehicle, launch, other.steering.of)  # nothing is sought: as quick
    steering = _scaled(vehicle, launch, other)
    if not _near(vehicle, launch, other):
        steering = _trimmed(vehicle, launch, steering)
    flown = launch_climb.fly_climb(vehicle, launch, steering)
    return flown if flown.reached else best_climb(vehicle, launch, other.steering.of)


def _scaled(vehicle: LaunchVehicle, launch: Launch, other: LaunchClimb) -> ClimbSteering:
    """Return the other one's steering, its angle as much larger as the thrust now asks for."""
    was, now = (
        launch_climb.lifts_off(*each) - 1.0
        for each in ((other.vehicle, other.launch), (vehicle, launch))
    )
    if was <= 0.0 or now <= 0.0:
        return other.steering
    share = min(MOST_SCALED, max(1.0 / MOST_SCALED, (now / was) ** EXCESS))
    return replace(other.steering, pitchover_angle=share * other.steering.pitchover_angle)


def _near(vehicle: LaunchVehicle, launch: Launch, other: LaunchClimb) -> bool:
    """Return whether the best angle is much the same: like thrust-to-weight, like orbit."""
    ratio = launch_climb.lifts_off(vehicle, launch) / launch_climb.lifts_off(
        other.vehicle, other.launch
    )
    turned = abs(launch.azimuth - other.launch.azimuth)
    return (
        abs(ratio - 1.0) < SAME_THRUST
        and launch.weather == other.launch.weather
        and turned < SAME_WAY
        and (abs(launch.radius - other.launch.radius) < SAME_HEIGHT)
    )


def _trimmed(vehicle: LaunchVehicle, launch: Launch, kept: ClimbSteering) -> ClimbSteering:
    """Return a steering whose angle is the vertex of a parabola through three near the kept one."""
    if launch_climb.lifts_off(vehicle, launch) <= 1.0:
        return kept
    search = _Search(vehicle, launch, kept.aim)
    low, mid, high = (search(log(kept.pitchover_angle) + x) for x in (-LOOK, 0.0, LOOK))
    bend = low - 2.0 * mid + high
    if bend >= 0.0:
        move = LOOK if high > low else -LOOK
    else:
        move = max(-FARTHEST, min(FARTHEST, 0.5 * LOOK * (low - high) / bend))
    return replace(
        kept, pitchover_angle=kept.pitchover_angle * exp(move), aim=search.aim or kept.aim
    )


class _Search:
    """Propellant left [kg] over the logarithm of the pitchover angle [rad].

    Solutions start the next one.
    """

    def __init__(
        self, vehicle: LaunchVehicle, launch: Launch, aim: InsertionAim | None = None
    ) -> None:
        self.vehicle, self.launch, self.aim = vehicle, launch, aim
        self.known: dict[float, float] = {}
        self.solved: list[tuple[float, InsertionAim]] = []  # the last two

    def __call__(self, x: float) -> float:
        if x not in self.known:
            self.known[x] = self._left(x)
        return self.known[x]

    def _left(self, x: float) -> float:
        steering = ClimbSteering(exp(x), self._guess(x))
        left, aim = launch_climb.propellant_left(self.vehicle, self.launch, steering)
        if aim is not None:
            self.aim = aim
            self.solved = [*self.solved[-1:], (x, aim)]
        return left

    def _guess(self, x: float) -> InsertionAim | None:
        """Return where the last two solutions lead to by a straight line, or the last one."""
        if len(self.solved) < 2:
            return self.aim
        (b, other), (a, last) = self.solved
        part = (x - a) / (a - b)
        if abs(part) > MOST_AHEAD:
            return last
        ahead = last.unknowns + part * (last.unknowns - other.unknowns)
        return InsertionAim.of(ahead, last.slopes)


def _best_angle(search: _Search) -> float:
    """Return the angle that leaves most: between two that leave less, by parabolas.

    They are walked to from the angle that is usual for the thrust. Where that leads far away, or
    nowhere, the whole ladder of angles is looked at: there may be another hump.
    """
    usual = _usual(search.vehicle, search.launch)
    bracket = _walked(search, usual)
    if bracket is None or abs(bracket[1] - usual) > FAR:
        bracket = _climbed(search)
    if search.aim is None:
        return exp(bracket[1])
    return exp(highest(search, bracket, NEAR / 2.0))


def _usual(vehicle: LaunchVehicle, launch: Launch) -> float:
    """Return the logarithm of the angle that suits the thrust; most best ones lie near."""
    angle = USUAL * (launch_climb.lifts_off(vehicle, launch) - 1.0) ** EXCESS
    return log(min(max(angle, PITCHOVER_ANGLES[0]), PITCHOVER_ANGLES[-1]))


def _walked(search: _Search, x: float) -> tuple[float, float, float] | None:
    """Return a place between two that leave less, uphill from one; None if none is near.

    Strides are short at first: a climb near the one before is aimed in a few steps.
    """
    here = search(x)
    stride = STRIDE if search.aim else LONG_STRIDE
    stride = stride if here < search(x + stride) else -stride
    behind, middle, ahead = x - stride, x, x + stride
    for _ in range(WALK):
        if search(ahead) <= search(middle):
            low, high = sorted((behind, ahead))
            return (low, middle, high) if search.aim and search(behind) < search(middle) else None
        stride *= LONGER
        behind, middle, ahead = middle, ahead, ahead + stride
    return None


def _climbed(search: _Search) -> tuple[float, float, float]:
    """Return the best of the ladder's angles between its neighbours, as logarithms."""
    ladder = [log(angle) for angle in PITCHOVER_ANGLES]
    left: list[float] = []
    for x in ladder:
        left.append(search(x))
        if search.aim and len(left) > 2 and left[-1] < left[-2] < PAST * max(left):
            break
    i = left.index(max(left))
    return ladder[max(i - 1, 0)], ladder[i], ladder[min(i + 1, len(ladder) - 1)]
