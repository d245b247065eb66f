"""What an exploding stack does to its surroundings: blast, its arrival, and the fireball.

Liquid propellants are taken as the TNT that site-safety rules put in their place: an upper bound
for planning. Tests near launch vehicles found less blast close by than TNT makes (Blackwood and
others, NTRS 20150002957); fragments are neglected, and they are the harder threat.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import exp, log

FOOT, POUND = 0.3048, 0.45359237  # m, kg, international
SEA_LEVEL = 101325.0  # Pa, ISO 2533

# M. M. Swisdak, Simplified Kingery Airblast Calculations (1994, ADA526744): TNT on the ground,
# peak incident overpressure [kPa] and arrival [ms/kg^1/3] over Z [m/kg^1/3], as
# exp(A + B ln Z + C ln^2 Z ...), each up to a Z. Coefficients as in a public transcription.
_PRESSURE = (
    (2.9, (7.2106, -2.1069, -0.3229, 0.1117, 0.0685)),
    (23.8, (7.5938, -3.0523, 0.40977, 0.0261, -0.01267)),
    (198.5, (6.0536, -1.4066)),
)
_ARRIVAL = (
    (1.5, (-0.7604, 1.8058, 0.1257, -0.0437, -0.0310, -0.00669)),
    (40.0, (-0.7137, 1.5732, 0.5561, -0.4213, 0.1054, -0.00929)),
)
NEAREST, FARTHEST = 0.2, 198.5  # m/kg^1/3, within which the overpressure holds
SOUND = 340.3  # m/s, beyond the last arrival of the table (1976 standard atmosphere)


def overpressure(distance: float, tnt: float, ambient: float = SEA_LEVEL) -> float:
    """Return the peak incident overpressure [Pa] at `distance` [m] from `tnt` [kg].

    Exploding on the ground at `ambient` pressure [Pa], by Sachs's scaling: pressures go with it,
    distances with its cube root. In free air a charge does what half of it does on the ground;
    that is neglected, on the safe side. Nearer than 0.2 m/kg^1/3 it is that distance's value,
    farther than 198.5 it is zero. `tnt` zero gives zero.
    """
    if tnt <= 0.0:
        return 0.0
    share = ambient / SEA_LEVEL
    scaled = max(NEAREST, distance * (share / tnt) ** (1.0 / 3.0))
    return 0.0 if scaled > FARTHEST else 1e3 * share * _fit(_PRESSURE, scaled)


def arrival(distance: float, tnt: float) -> float:
    """Return the time [s] from the explosion of `tnt` [kg] to the shock's arrival at `distance`.

    Beyond 40 m/kg^1/3 it goes on at the speed of sound.
    """
    size = tnt ** (1.0 / 3.0)
    edge = 40.0 * size
    within = max(0.06, min(distance, edge) / size)
    return 1e-3 * size * _fit(_ARRIVAL, within) + max(0.0, distance - edge) / SOUND


def _fit(pieces: Sequence[tuple[float, tuple[float, ...]]], scaled: float) -> float:
    terms = next((each for edge, each in pieces if scaled <= edge), pieces[-1][1])
    x = log(scaled)
    return exp(sum(term * x**power for power, term in enumerate(terms)))


def tnt_equivalent(
    cryogenic: float, kerosene: float, storable: float, methane: float = 0.0
) -> float:
    """Return the TNT [kg] that propellants [kg] count as on the pad, fuel and oxidiser together.

    `cryogenic` is hydrogen with oxygen: 14 %, or 8 W^(2/3) [lb] if that is more. `kerosene` with
    oxygen: 20 % of the first 500,000 lb and 10 % of the rest. `storable` pairs: 10 %. DoD
    6055.09-M volume 5, energetic-liquid equivalents for range launch (from memory). `methane`
    with oxygen mixes before it burns and has no agreed value yet: 25 %, as range authorities
    ask until it is measured (from memory).
    """
    hydrogen, oil = cryogenic / POUND, kerosene / POUND
    cold = max(0.14 * hydrogen, 8.0 * hydrogen ** (2.0 / 3.0))
    warm = 0.2 * min(oil, 5e5) + 0.1 * max(0.0, oil - 5e5)
    return (cold + warm) * POUND + 0.1 * storable + 0.25 * methane


def fireball(propellant: float) -> tuple[float, float]:
    """Return greatest radius [m] and duration [s] of the fireball of so much propellant [kg].

    Diameter 9.82 W^0.32 ft and 0.232 W^0.32 s of W lb: R. W. High, The Saturn fireball, Annals of
    the New York Academy of Sciences 152 (1968) 441 (from memory).
    """
    grown = (propellant / POUND) ** 0.32
    return 9.82 * grown * FOOT / 2.0, 0.232 * grown
