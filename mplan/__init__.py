"""Plan a crewed Moon landing on paper, from lift-off to splashdown.

    >>> import mplan
    >>> plan = mplan.fly(mplan.load("scenarios/first_landing.toml"))
    >>> plan.closes
    True

The four calculations behind it, one call each: `hohmann`, `translunar`, `lunar_orbit_insertion`,
`return_burn`.

    >>> round(mplan.hohmann("185 km", to_distance="384400 km").delta_v, 3)  # m/s
    3966.848

To fly what is given, a state with its date: `state`, `coast`, `burn`, `parking_orbit`. Without a
mission around it: `launch_windows` for a fixed arrival at the Moon,
`second_launches` to meet a craft in Earth orbit, `sky`, where Sun and Earth stand over a place,
`read_oem`, the states of an ephemeris file.

A planning study, not flight approval: what could hurt people is settled by licensed practice,
local codes and range authorities.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from mplan.calculations.insertion import parking_orbit
    from mplan.calculations.launch_windows import launch_windows
    from mplan.calculations.oem_reading import OemError, read_oem
    from mplan.calculations.second_launches import second_launches
    from mplan.calculations.sky import sky
    from mplan.calculations.states import burn, coast, state
    from mplan.plan import Plan, fly
    from mplan.scenario import Scenario, ScenarioError, load
    from mplan.transfers import hohmann, lunar_orbit_insertion, return_burn, translunar

    __version__: str

__all__ = [
    "OemError",
    "Plan",
    "Scenario",
    "ScenarioError",
    "__version__",
    "burn",
    "coast",
    "fly",
    "hohmann",
    "launch_windows",
    "load",
    "lunar_orbit_insertion",
    "parking_orbit",
    "read_oem",
    "return_burn",
    "second_launches",
    "sky",
    "state",
    "translunar",
]

_HOMES = {
    "Plan": "mplan.plan",
    "fly": "mplan.plan",
    "Scenario": "mplan.scenario",
    "ScenarioError": "mplan.scenario",
    "load": "mplan.scenario",
    "hohmann": "mplan.transfers",
    "translunar": "mplan.transfers",
    "lunar_orbit_insertion": "mplan.transfers",
    "return_burn": "mplan.transfers",
    "state": "mplan.calculations.states",
    "coast": "mplan.calculations.states",
    "burn": "mplan.calculations.states",
    "parking_orbit": "mplan.calculations.insertion",
    "launch_windows": "mplan.calculations.launch_windows",
    "second_launches": "mplan.calculations.second_launches",
    "sky": "mplan.calculations.sky",
    "read_oem": "mplan.calculations.oem_reading",
    "OemError": "mplan.calculations.oem_reading",
}


def __getattr__(name: str) -> object:
    """Bring in a name when it is first asked for, so that importing mplan stays quick."""
    if name in _HOMES:
        from importlib import import_module

        return getattr(import_module(_HOMES[name]), name)
    if name == "__version__":
        return _version()
    raise AttributeError(f"module 'mplan' has no attribute {name!r}")


def _version() -> str:
    from importlib.metadata import PackageNotFoundError, version

    try:
        return version("mplan")
    except PackageNotFoundError:  # read from a folder, not installed
        return "0"


def __dir__() -> list[str]:
    """Return what people use, brought in or not: for tab completion and help()."""
    return sorted(__all__)
