"""Where the numbers of a plan come from, so that the same ones can be made again."""

from __future__ import annotations

import platform
from datetime import datetime, timezone
from importlib.metadata import PackageNotFoundError, version

from mplan import __version__
from mplan.physics.arcs import lambert, nbody
from mplan.plan import Plan

LIBRARIES = (
    *("numpy", "scipy", "astropy", *lambert.LIBRARIES, "heyoka"),
    *("ortools", "pandas", "plotly"),
)


def of(plan: Plan) -> dict[str, str]:
    """Return the facts by name, in the order to print them."""
    scenario = plan.scenario
    kit = scenario.from_kit
    return {
        "scenario": f"{scenario.mission.name} ({scenario.mission.profile})",
        "file": scenario.source.name,
        "hash": scenario.hash,
        **({"hardware of the kit": ", ".join(x.name for x in kit)} if kit else {}),
        "changes": "; ".join(map(str, scenario.changes)) or "none, as in the file",
        **machinery(),
    }


def machinery() -> dict[str, str]:
    """Return what numbers are made with, whatever they are about, and when."""
    return {
        "mplan": __version__,
        "libraries": libraries(),
        "ephemeris": "JPL DE421",
        "integrator": nbody.back_ends()[0],
        "made": f"{datetime.now(timezone.utc):%Y-%m-%d %H:%M} UTC",
    }


def libraries() -> str:
    """Return the versions of Python and of the libraries that are installed."""
    found = [f"Python {platform.python_version()}"]
    for name in LIBRARIES:
        try:
            found.append(f"{name} {version(name)}")
        except PackageNotFoundError:
            continue
    return ", ".join(found)
