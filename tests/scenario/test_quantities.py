"""Texts with units become SI floats; everything else is refused with what would be accepted.

Expected factors are the definitions: the international foot, pound and nautical mile
(0.3048 m, 0.45359237 kg, 1852 m) and standard gravity for the pound-force (ISO 80000, NIST SP 811).
"""

import subprocess
import sys
from math import pi
from pathlib import Path
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mplan.scenario import elements, events, models, quantities
from mplan.scenario.quantities import Quantity, Unreadable

READ = [
    ("length", "185 km", 185000.0),
    ("length", "185km", 185000.0),
    ("length", "1.85e2 kilometres", 185000.0),
    ("length", "-0.9 km", -900.0),
    ("length", "−0.9 km", -900.0),
    ("length", "100 nmi", 185200.0),
    ("length", "10 ft", 3.048),
    ("length", "10 feet", 3.048),
    ("length", "100 in", 2.54),
    ("length", "1 mile", 1609.344),
    ("time", "36 h", 129600.0),
    ("time", "36 hours", 129600.0),
    ("time", "11 d", 950400.0),
    ("time", "11 days", 950400.0),
    ("time", "90 minutes", 5400.0),
    ("time", "311 s", 311.0),
    ("time", "311 sec", 311.0),
    ("mass", "11.5 t", 11500.0),
    ("mass", "11.5 tonnes", 11500.0),
    ("mass", "100 lb", 45.359237),
    ("mass", "100 lbs", 45.359237),
    ("angle", "180 deg", pi),
    ("angle", "180 degrees", pi),
    ("angle", "180°", pi),
    ("angle", "1 rad", 1.0),
    ("speed", "3.1 km/s", 3100.0),
    ("speed", "10 ft/s", 3.048),
    ("force", "5450 kN", 5.45e6),
    ("force", "5450 kilonewtons", 5.45e6),
    ("force", "1 lbf", 0.45359237 * 9.80665),
    ("power", "1.6 kW", 1600.0),
    ("energy", "60 kWh", 2.16e8),
    ("energy", "60 kW h", 2.16e8),
    ("fraction", "2 %", 0.02),
    ("fraction", "2 percent", 0.02),
]

REFUSED = [
    (185, "found 185, a bare number"),
    ("185", 'found "185", a bare number'),
    ("1.85e2", 'found "1.85e2", a bare number'),
    (True, "found true, not a quantity"),
    (["185 km"], "found a list, not a quantity"),
    ({"km": 185}, "found a table, not a quantity"),
    ("185 kg", 'found "185 kg", of another dimension'),
    ("185 km/s", 'found "185 km/s", of another dimension'),
    ("185 kkm", 'found "185 kkm", whose unit "kkm" is unknown'),
    ("185 KM", 'found "185 KM", whose unit "KM" is unknown'),
    ("far", 'found "far", not a number followed by a unit'),
    ("", 'found "", not a number followed by a unit'),
    ("1,850 km", 'found "1,850 km", whose unit ",850 km" is unknown'),
    ("nan km", 'found "nan km", not a finite number'),
    ("-inf km", 'found "-inf km", not a finite number'),
    ("1e999 km", 'found "1e999 km", not a finite number'),
    ("14 km", 'found "14 km", too small'),
    ("15.1 Mm", 'found "15.1 Mm", too large'),
    ("3 tons", 'found "3 tons"; "tons" may be metric, short or long, write "t" or "lb"'),
]


@pytest.mark.parametrize(("kind", "text", "si"), READ)
def test_reads(kind, text, si):
    assert Quantity(kind).read(text) == pytest.approx(si, rel=1e-15)


@pytest.mark.parametrize(("value", "found"), REFUSED)
def test_refuses(value, found):
    orbits = {"parking_altitude": "185 km", "entry_angle": "-6 deg", "lunar_altitude": value}
    with pytest.raises(ValueError, match="lunar_altitude") as caught:
        models.Orbits.model_validate(orbits)
    accepted = 'accepted: a length with its unit, from 15 km to 5000 km, like "110 km"'
    assert [error["msg"] for error in caught.value.errors()] == [f"{found}; {accepted}"]


@pytest.mark.parametrize(
    ("bounds", "words"),
    [
        ({}, ""),
        ({"above": "0 km"}, ", above zero"),
        ({"at_least": "0 km"}, ", at least zero"),
        ({"at_most": "9 km"}, ", at most 9 km"),
        ({"at_least": "1 km", "below": "9 km"}, ", at least 1 km and below 9 km"),
        ({"at_least": "1 km", "at_most": "9 km"}, ", from 1 km to 9 km"),
    ],
)
def test_bounds_in_words(bounds, words):
    assert Quantity("length", **bounds).accepted == f'a length with its unit{words}, like "185 km"'


@pytest.mark.parametrize(
    ("bounds", "inside", "outside"),
    [
        ({"above": "1 km"}, "1.001 km", "1 km"),
        ({"at_least": "1 km"}, "1 km", "0.999 km"),
        ({"at_most": "1 km"}, "1 km", "1.001 km"),
        ({"below": "1 km"}, "0.999 km", "1 km"),
    ],
)
def test_each_bound_holds(bounds, inside, outside):
    quantity = Quantity("length", **bounds)
    assert quantity.read(inside) > 0.0
    with pytest.raises(Unreadable, match=r"too (small|large)"):
        quantity.read(outside)


def _quantities():
    """Every quantity annotation of the modules that define tables."""
    for module in (quantities, models, elements, events):
        for name, alias in vars(module).items():
            found = [each for each in get_args(alias) if isinstance(each, Quantity)]
            yield from ((name, each) for each in found)


@pytest.mark.parametrize(("name", "quantity"), sorted(set(_quantities()), key=str))
def test_example_in_a_message_is_itself_accepted(name, quantity):
    assert isinstance(quantity.read(quantity.sample), float)


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (190e3, "km", "190 km"),
        (0.02, "%", "2 %"),
        (0.1 + 0.2, "m", "0.3 m"),
        (-1.234e-5, "km", "-1.234e-08 km"),
        (2.16e8, "kWh", "60 kWh"),
        (pi, "deg", "180 deg"),
    ],
)
def test_writes(value, unit, text):
    assert quantities.text(value, unit) == text


def test_refuses_to_write_an_unknown_unit():
    with pytest.raises(Unreadable, match='"kkm" is no unit of a quantity in a scenario'):
        quantities.text(1.0, "kkm")


@given(st.floats(-1e12, 1e12), st.sampled_from(["m", "km", "ft", "nmi"]))
def test_what_is_written_reads_back(value, unit):
    # Twelve digits are written; a unit factor adds a rounding or two.
    read = Quantity("length").read(quantities.text(value, unit))
    assert read == pytest.approx(value, rel=1e-11, abs=1e-300)


def test_usual_units_are_the_librarys(monkeypatch):
    """To the last bit: what is read without the library is what it would say."""
    usual = [(unit, si, x) for si, units in quantities.USUAL.items() for unit, x in units.items()]
    assert {si for _, si, _ in usual} <= {kind.si for kind in quantities.KINDS.values()}
    monkeypatch.setattr(quantities, "USUAL", {})
    quantities._factor.cache_clear()
    assert [quantities._factor(unit, si) for unit, si, _ in usual] == [x for *_, x in usual]
    quantities._factor.cache_clear()


@pytest.mark.filterwarnings("ignore:numpy.ndarray size changed")
def test_which_usual_units_are_of_one_dimension(monkeypatch):
    """As the library of units has it, of all pairs of the table."""
    pairs = [(one, other) for one in quantities.USUAL for other in quantities.USUAL]
    alike = [other in quantities.alike(one) for one, other in pairs]
    monkeypatch.setattr(quantities, "USUAL", {})
    quantities._factor.cache_clear()
    assert [quantities._factor_or_none(*pair) is not None for pair in pairs if all(pair)] == [
        same for same, pair in zip(alike, pairs, strict=True) if all(pair)
    ]
    quantities._factor.cache_clear()


def test_scenarios_are_read_without_the_library_of_units():
    """It takes 0.3 s to bring in; the missions of the kit name usual units alone."""
    code = (
        "import mplan, sys\n"
        "for each in sys.argv[1:]: mplan.load(each)\n"
        "print('astropy' in sys.modules)"
    )
    here = Path(__file__).parents[2]
    missions = [*(here / "scenarios").glob("*.toml"), *(here / "tests" / "missions").glob("*.toml")]
    command = [sys.executable, "-c", code, *map(str, missions)]
    said = subprocess.run(command, capture_output=True, text=True, check=True, cwd=here).stdout
    assert said.strip() == "False"
