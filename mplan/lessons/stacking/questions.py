"""The questions of lesson 2: what is right by the formula, and which slips lead elsewhere.

The rocket equation and burn times as in Sutton & Biblarz 2017, ch. 2 and 4; stages as in Curtis
2014, ch. 11.
"""

from __future__ import annotations

from math import exp, prod

from mplan.lessons.answers import Question, Slip, Verdict, judged
from mplan.lessons.stacking import formulas
from mplan.physics import constants as c
from mplan.physics.rocket import burn_time, propellant
from mplan.plan import Plan
from mplan.scenario.quantities import parse

COMMON_LOG = "a common logarithm is turned round (10 to the power) instead of the natural one (exp)"


def check_propellant(answer: object, mass: str, burn: str, isp: str) -> Verdict:
    """Judge the propellant of a burn that begins with a mass."""
    before, gain, seconds = parse(mass, "kg"), parse(burn, "m/s"), parse(isp, "s")
    right, power = propellant(seconds, before, gain), gain / (seconds * c.G0)
    slips = (
        Slip("it is the mass that is left, not what is burnt", before - right),
        Slip(COMMON_LOG, before * (1.0 - 10.0**-power)),
        Slip(
            "Isp is taken for the exhaust speed: multiply it by g0",
            before * (1.0 - exp(-gain / seconds)),
        ),
        Slip("the mass is taken for that after the burn", before * (exp(power) - 1.0)),
        Slip(
            "it is the mass before the burn of a craft that weighs so much after it",
            before * exp(power),
        ),
        Slip("the exponential is left out: mass times delta-v over exhaust speed", before * power),
    )
    return judged(answer, Question("mass", "t", right, slips))


def check_lift_off(answer: object, thrust_to_weight: float) -> Verdict:
    """Judge the acceleration in the first second of a stack that stands on the pad."""
    slips = (
        Slip("the weight is not taken off the thrust", thrust_to_weight * c.G0),
        Slip("thrust is divided by weight the wrong way round", (1.0 - 1.0 / thrust_to_weight)),
        Slip("it is in units of g0: multiply by g0", thrust_to_weight - 1.0),
        Slip("it is gravity alone", c.G0),
    )
    right = (thrust_to_weight - 1.0) * c.G0
    return judged(answer, Question("acceleration", "m/s2", right, slips))


def check_burn_time(answer: object, load: str, thrust: str, isp: str) -> Verdict:
    """Judge how long a load of propellant lasts at full thrust."""
    kg, force, seconds = parse(load, "kg"), parse(thrust, "N"), parse(isp, "s")
    right = burn_time(force, seconds, kg)
    slips = (
        Slip("Isp is taken for the exhaust speed: multiply it by g0", right / c.G0),
        Slip("Isp is left out", kg * c.G0 / force),
        Slip("kilonewtons are taken for newtons", right * 1e3),
        Slip("tonnes are taken for kilograms", right / 1e3),
        Slip("thrust and propellant have changed places", (force / (kg * c.G0)) * seconds),
    )
    return judged(answer, Question("time", "s", right, slips))


def check_payload(answer: object, stages: int, burn: str, isp: str, structure: str) -> Verdict:
    """Judge payload over lift-off mass of equal stages."""
    gain, seconds, empty = parse(burn, "m/s"), parse(isp, "s"), parse(structure, "")
    right = formulas.payload_share(stages, gain, seconds, empty)
    kept = exp(-gain / (stages * seconds * c.G0))
    common = 10.0 ** (-gain / (stages * seconds * c.G0))
    one = formulas.payload_share(1, gain / stages, seconds, empty)
    slips = (
        Slip("it is the share of one stage: what it carries is the next stage", one),
        Slip("the shares are added, not multiplied", stages * one),
        Slip("the stages weigh nothing when they are empty", kept**stages),
        Slip("the empty stage is not divided out at the end", (kept - empty) ** stages),
        Slip(COMMON_LOG, ((common - empty) / (1.0 - empty)) ** stages),
    )
    # A small difference of rounded numbers, to a power.
    return judged(answer, Question("fraction", "", right, slips, within=0.02))


def check_growth(answer: object, plan: Plan) -> Verdict:
    """Judge how many kilograms in the parking orbit one kilogram on the Moon stands for.

    By the mass ratios of the burns that carry it, its share of tanks left out.
    """
    burns = [(x.required, formulas.isp_of(x, plan)) for x in formulas.carrying(plan)]
    ratios = [exp(gain / (isp * c.G0)) for gain, isp in burns]
    last = burns[-1][1]
    whole = sum(gain for gain, _ in burns)
    slips = (
        Slip("the ratios are added, not multiplied", sum(ratios)),
        Slip("it is the descent alone", ratios[-1]),
        Slip("it is the injection alone", ratios[0]),
        Slip("one Isp, that of the descent, is taken for all burns", exp(whole / (last * c.G0))),
        Slip(COMMON_LOG, prod(10.0 ** (gain / (isp * c.G0)) for gain, isp in burns)),
        Slip("it is what is burnt, without the kilogram itself", prod(ratios) - 1.0),
        Slip("it is turned round: kilograms landed for one in orbit", 1.0 / prod(ratios)),
    )
    # Rounded velocities and specific impulses multiply up; small corrections may be left out.
    return judged(answer, Question("fraction", "", prod(ratios), slips, within=0.02))
