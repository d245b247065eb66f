"""Blast, fireball and escape towers against published figures."""

from __future__ import annotations

from math import pi, radians, tan

import pytest

from mplan.physics.climb import blast, escape
from mplan.physics.climb.escape import EscapeStart, Tower

FOOT, POUND, POUND_FORCE, PSI = 0.3048, 0.45359237, 4.4482216152605, 6894.757

# M. M. Swisdak, Simplified Kingery Airblast Calculations (1994, ADA526744), table for TNT on the
# ground, as in a public transcription: m/kg^1/3, ms/kg^1/3, kPa, and shock front km/s.
TABLE = (
    (0.5, 0.143, 4888.0, 2.178),
    (1.0, 0.467, 1354.0, 1.196),
    (2.0, 1.693, 283.7, 0.623),
    (3.0, 3.546, 115.7, 0.480),
    (5.0, 8.242, 43.23, 0.398),
    (8.0, 16.18, 20.42, 0.368),
    (12.0, 27.21, 11.67, 0.357),
    (20.0, 49.93, 6.102, 0.349),
    (40.0, 107.8, 2.375, 0.344),
)


@pytest.mark.parametrize(("scaled", "arrival", "pressure", "front"), TABLE)
def test_kingery_table(scaled, arrival, pressure, front):
    """Overpressure and arrival are the table's within 1 %, the transcription's own accuracy.

    The speed of the front is the slope of the arrival, a fit of its own: 3 %.
    """
    size = 1000.0 ** (1.0 / 3.0)
    assert blast.overpressure(scaled * size, 1e3) == pytest.approx(1e3 * pressure, rel=0.01)
    assert blast.arrival(scaled * size, 1e3) == pytest.approx(1e-3 * arrival * size, rel=0.01)
    if 0.5 < scaled < 40.0:
        step = 0.02 * scaled * size
        late = blast.arrival(scaled * size + step, 1e3) - blast.arrival(scaled * size - step, 1e3)
        assert 2.0 * step / late == pytest.approx(1e3 * front, rel=0.03)


@pytest.mark.parametrize(
    ("factor", "pressure"), [(328, 0.0655), (50, 0.9), (40, 1.2), (24, 2.3), (18, 3.5), (9, 12.0)]
)
def test_safety_factors(factor, pressure):
    """Distances K W^(1/3) [ft, lb] of explosives-safety rules go with these pressures [psi].

    DoD 6055.09 (from memory; K328 as in Applied Sciences 12, 2022, 8824). They are rounded to
    two digits: 3 %.
    """
    away = factor * 1e5 ** (1.0 / 3.0) * FOOT
    found = blast.overpressure(away, 1e5 * POUND) / PSI
    assert found == pytest.approx(pressure, rel=0.03)


def test_fireball_of_a_large_three_stage_vehicle():
    """1408 ft wide and 33.9 s for some 2.5 million kg, as then published.

    Width as told by several accounts of a NASA study of the 1960s, the 33.9 s from memory
    (another account says nearly 40 s). The mass is known to two digits: 1 % of the width, and
    the durations differ by that between accounts: 3 %.
    """
    radius, lasts = blast.fireball(2.5e6)
    assert 2.0 * radius / FOOT == pytest.approx(1408.0, rel=0.01)
    assert lasts == pytest.approx(33.9, rel=0.03)


def test_fireball_formulas_agree():
    """Gayle and Bransford's 9.56 W^0.325 ft (NASA TM X-53314, 1965, from memory) is near.

    10 %: the spread of the tests behind both is far wider (30 % in that report, from memory).
    """
    for pounds in (1e5, 1e6, 5e6):
        radius, _ = blast.fireball(pounds * POUND)
        assert 2.0 * radius / FOOT == pytest.approx(9.56 * pounds**0.325, rel=0.1)


def large_tower(module: float, aside: float) -> Tower:
    """The escape tower of a three-man ship, over a module of `module` [lb], turned `aside` [rad].

    From memory of NASA TN D-7083 and press kits: 147,000 lbf, 3.2 s, 515,000 lbf s in all,
    3200 lb of propellant in a tower of 8900 lb; a module 154 in wide. Drag coefficient 0.7.
    """
    thrust, impulse = 147e3 * POUND_FORCE, 515e3 * POUND_FORCE
    return Tower(
        (module + 8900.0) * POUND,
        3200.0 * POUND,
        thrust,
        thrust * tan(aside),
        3.2,
        2.0 * (impulse / thrust - 3.2),
        0.7 * pi / 4.0 * (154.0 / 12.0 * FOOT) ** 2,
    )


@pytest.mark.parametrize("module", [11e3, 13e3])
@pytest.mark.parametrize("aside", [0.0, radians(15.0)])
def test_pad_abort_test_of_1965(module, aside):
    """9258 ft above the sea, "650 ft higher than predicted", from a desert pad some 4060 ft up.

    Heights: Apollo Program Summary Report, as told by public accounts (read); the pad's height
    from memory. Neither the test article's mass nor its turn aside is known here, so both ends
    of what is likely are flown. 16 % below what was flown and 12 % about what was predicted:
    thrust at the desert's height and temperature is 3 % more than at the sea, which makes 6 %
    of height, and the drag coefficient is known to a fifth, which makes another 6 %.
    """
    pad = 4060.0 * FOOT
    top = escape.fly_escape(large_tower(module, aside), EscapeStart(pad, 0.0, pi / 2.0, None))[
        -1
    ].up
    assert top == pytest.approx((9258.0 - 650.0) * FOOT - pad, rel=0.12)
    assert top == pytest.approx(9258.0 * FOOT - pad, rel=0.16)


def test_pad_abort_test_of_1963():
    """4100 ft at 8 s and 4900 ft at 15.5 s, above the pad (NASA history page, read).

    With the thrust of that test, 155,000 lbf, and the impulse as above over a module of 11,000 lb.
    Its motor is said to have thrust to the end of these 8 s; here all of it is spent by 3.4 s,
    so that it is ahead at 8 s and level later: 15 %.
    """
    tower = large_tower(11e3, radians(10.0))
    more = 155.0 / 147.0
    tower = tower._replace(thrust=tower.thrust * more, side=tower.side * more, tail_off=0.24)
    rows = escape.fly_escape(tower, EscapeStart(4060.0 * FOOT, 0.0, pi / 2.0, None))
    for t, feet in ((8.0, 4100.0), (15.5, 4900.0)):
        row = min(rows, key=lambda each, t=t: abs(each.t - t))
        assert row.up == pytest.approx(feet * FOOT, rel=0.15)


def test_thrust_to_weight_of_the_large_tower():
    """It leaves at a good 6 g over a full module, as press kits say (from memory): 10 %."""
    found = large_tower(13e3, 0.0).thrust_to_weight
    assert found == pytest.approx(6.5, rel=0.1)
