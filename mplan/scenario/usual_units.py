"""Factors of the units that scenarios usually use: the library of units takes 0.3 s to bring in.

Each is the library's own, to the last bit (`tests/scenario/test_quantities.py`).
"""

from __future__ import annotations

from types import MappingProxyType

# How many of an SI unit make one of each unit, by SI unit.
USUAL = MappingProxyType(
    {
        "": {"%": 0.01},
        "Hz": {"Hz": 1.0, "kHz": 1000.0, "MHz": 1000000.0, "GHz": 1000000000.0},
        "J": {"J": 1.0, "kWh": 3600000.0, "MWh": 3600000000.0},
        "J/kg": {"MJ/kg": 1000000.0, "Wh/kg": 3600.0, "mSv": 0.001, "Sv": 1.0},
        "J/m2": {"kJ/m2": 1000.0, "MJ/m2": 1000000.0, "GJ/m2": 1000000000.0},
        "N": {"N": 1.0, "kN": 1000.0, "MN": 1000000.0},
        "N s": {"N s": 1.0},
        "Pa": {"Pa": 1.0, "kPa": 1000.0, "MPa": 1000000.0},
        "W": {"mW": 0.001, "W": 1.0, "kW": 1000.0, "MW": 1000000.0},
        "W/m2": {"kW/m2": 1000.0, "MW/m2": 1000000.0, "GW/m2": 1000000000.0},
        "bit/s": {"bit/s": 1.0, "kbit/s": 1000.0, "Mbit/s": 1000000.0},
        "dB": {"dB": 1.0},
        "dB/K": {"dB/K": 1.0},
        "dBW": {"dBW": 1.0},
        "dBi": {"dBi": 1.0},
        "kg": {"g": 0.001, "kg": 1.0, "t": 1000.0},
        "kg/J": {"kg/kWh": 2.7777777777777776e-07},
        "kg/m2": {"kg/m2": 1.0},
        "kg/s": {"kg/s": 1.0, "kg/d": 1.1574074074074073e-05},
        "K": {"K": 1.0},
        "m": {"mm": 0.001, "cm": 0.01, "m": 1.0, "km": 1000.0},
        "m/s": {"m/s": 1.0, "km/s": 1000.0},
        "m/s2": {"m/s2": 1.0},
        "m2": {"m2": 1.0},
        "m3": {"m3": 1.0},
        "m3/s": {"m3/h": 0.0002777777777777778},
        "rad": {"deg": 0.017453292519943295},
        "rad/s": {"deg/s": 0.017453292519943295},
        "rad/s2": {"deg/s2": 0.017453292519943295},
        "s": {
            "s": 1.0,
            "min": 60.0,
            "h": 3600.0,
            "d": 86400.0,
            "month": 2629800.0,
            "months": 2629800.0,
            "yr": 31557600.0,
        },
        "1/s": {"/year": 3.168808781402895e-08},
    }
)
_SAME = frozenset({"Hz", "1/s"})


def alike(si: str) -> frozenset[str]:
    """Return the SI units of the table that have the dimension of `si`, itself among them."""
    return _SAME if si in _SAME else frozenset({si})
