"""Tanks and loads of real stages, under neutral names, against the kit's densities and shapes.

Each figure says whether it was read where it is named or comes from memory.
"""

import pytest

from mplan.physics.propellants import PROPELLANTS
from mplan.vehicle import tankage

FT, INCH, LB, GALLON = 0.3048, 0.0254, 0.45359237, 3.785411784e-3

# Loads with the volumes they fill. Boiling liquid, its pressure and its temperature on the day
# change a cryogenic density by some tenths of a per cent; kerosene is delivered between 0.80 and
# 0.82 kg/l (reference tables, read), so that the kit's 820 may be 2.5 % high.
LOADS = {
    # Engine-history compilation on the largest first stage of the 1960s (read).
    "first stage, oxygen": ("liquid oxygen", 3_178_000 * LB, 334_500 * GALLON, 0.005),
    "first stage, kerosene": ("kerosene", 1_400_000 * LB, 209_000 * GALLON, 0.025),
    # Teaching sheet on the drop tank of a reusable vehicle: 1 361 936 lb in 143 351 gal (read).
    "drop tank, oxygen": ("liquid oxygen", 1_361_936 * LB, 143_351 * GALLON, 0.005),
    # Encyclopedia text on the same: 103 t in 1 450 000 l (read; given to 1 %).
    "drop tank, hydrogen": ("liquid hydrogen", 103e3, 1450.0, 0.01),
    # Mass-properties table of a service module, SNA-8-D-027 (III), 175 psia and 70 F (read).
    "service module, fuel": ("Aerozine-50", 56.43 * LB, FT**3, 0.005),
    "service module, oxidiser": ("NTO", 90.21 * LB, FT**3, 0.005),
}


@pytest.mark.parametrize(
    ("propellant", "load", "volume", "within"), LOADS.values(), ids=LOADS.keys()
)
def test_densities(propellant, load, volume, within):
    """The density of what was loaded is the one that tanks are laid out with."""
    assert PROPELLANTS[propellant].density == pytest.approx(load / volume, rel=within)


# Reference table of the handbooks, section on propellants [kg/m3]: given to three or four digits.
HANDBOOK = {
    "liquid oxygen": 1141.0,
    "liquid hydrogen": 71.0,
    "kerosene": 820.0,
    "NTO": 1450.0,
    "MMH": 866.0,
    "hydrazine": 1004.0,
    "UDMH": 791.0,
    "Aerozine-50": 900.0,
}


@pytest.mark.parametrize(("name", "density"), HANDBOOK.items())
def test_handbook(name, density):
    """The kit's densities are those published."""
    assert PROPELLANTS[name].density == density


def test_a_common_bulkhead_of_a_large_hydrogen_stage():
    """The stage's rings of tank wall follow from its volume and width.

    Hydrogen tank of 36 883 ft3 above a bulkhead that bulges into it, 33 ft across: six rings of
    wall, the lowest 27 in high, the other five "slightly over 8 ft" ("Description of ... Stage
    Structures", volume; the vehicle's news reference, rings; both read). Bulkhead and upper dome
    are alike, so that the volume is that of the rings. 33 ft is outside; walls and frames take
    less than 1 %, an inch of a ring.
    """
    oxygen, hydrogen = 12_000 * FT**3, 36_883 * FT**3
    _, above = tankage.common_bulkhead(oxygen, hydrogen, 33 * FT, 11.5 * FT, "up")
    ring = (above.cylinder - 27 * INCH) / 5.0
    assert 8.0 * FT < ring < 8.5 * FT


def test_a_large_hydrogen_tank():
    """Its length follows from volume and width.

    Drop tank of a reusable vehicle: 53 488 ft3 (encyclopedia, read) and 331 in across (teaching
    sheet, read), 96.7 ft long over its two domes (from memory). The domes' depth is not known
    here; from 60 to 80 % of the radius it moves the length by 2 %.
    """
    across = 331 * INCH
    for share in (0.6, 1.0 / 2.0**0.5, 0.8):
        tank = tankage.cylinder(53_488 * FT**3, across, share * across / 2.0)
        assert tank.length == pytest.approx(96.7 * FT, rel=0.02)
        assert tank.volume == pytest.approx(53_488 * FT**3)


def test_a_clustered_first_stage():
    """Eight tanks of 70 in round one of 105 in, about 21.4 ft across.

    A stage of the 1960s (abstract of a paper on its oxygen density, tanks: read; width: from
    memory). Touching tanks are the least circle; gaps for frames make the real one larger, by up
    to 3 %. The middle tank has room.
    """
    across, ring = tankage.cluster(9, 70 * INCH, 70 * INCH)
    assert ring == 8  # and one in the middle
    assert 21.4 * FT / 1.03 < across < 21.4 * FT
    assert across - 2 * 70 * INCH > 105 * INCH
