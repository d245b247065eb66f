"""The tables of four burns, as a workbook shows them."""

from __future__ import annotations

from collections.abc import Iterator

import pandas as pd

from mplan.physics.constants import DAY, HOUR
from mplan.plan import Plan
from mplan.show.columns import Column, clock
from mplan.show.notebook import Table
from mplan.show.reached import asks_splash
from mplan.show.tables import framed
from mplan.show.told import told
from mplan.studies.four_burns import Sketch, TurningPoint, masses, turning_points
from mplan.studies.four_burns import beside as pairs
from mplan.transfer_results import date_of
from mplan.transfers import hohmann

_BUDGET = (
    Column("burn", lambda line: line.burn.name),
    Column("UTC", lambda line: date_of(line.burn.t)),
    Column("delta-v [m/s]", lambda line: line.burn.delta_v, 1),
    Column("mass before [t]", lambda line: line.before / 1e3, 2),
    Column("propellant [t]", lambda line: line.propellant / 1e3, 2),
    Column("mass after [t]", lambda line: line.after / 1e3, 2),
)
_BESIDE = (
    Column("leg", lambda row: row.leg),
    Column("joined conics [m/s]", lambda row: row.conic, 1),
    Column("integrated [m/s]", lambda row: row.sketched, 1),
    Column("flown, impulses [m/s]", lambda row: row.flown, 1),
    Column("flown, losses [m/s]", lambda row: row.losses, 1),
)


def budget(sketch: Sketch, *, home_mass: float, isp: float) -> Table:
    """Return the burns in flight order with the masses of a craft of `home_mass` [kg] at the end.

    One engine of `isp` [s] makes them all.
    """
    return Table(framed(_BUDGET, masses(sketch, home_mass=home_mass, isp=isp)))


def facts(sketch: Sketch, *, home_mass: float, isp: float) -> dict[str, str]:
    """Return all burns together, each burn, and the mass that leaves, for a craft as `budget` has.

    What is found is compared number by number where another sketch has the same burns.
    """
    lines = masses(sketch, home_mass=home_mass, isp=isp)
    return {
        "all burns": told("{:.1 m/s}", sketch.delta_v),
        **{line.burn.name: told("{:.1 m/s}", line.burn.delta_v) for line in lines},
        "mass at departure": told("{:.2 t}", lines[0].before / 1e3),
    }


def timeline(sketch: Sketch) -> Table:
    """Return the turning points: date, time since the injection, state in its frame."""
    start = sketch.there.departure.t

    def since(point: TurningPoint) -> str:
        return clock(point.state.t - start)

    columns = (
        Column("turning point", lambda point: point.event),
        Column("UTC", lambda point: date_of(point.state.t)),
        Column("since injection", since),
        Column("distance [km]", lambda point: point.state.distance / 1e3, 1),
        Column("speed [m/s]", lambda point: point.state.speed, 1),
        Column("frame", lambda point: point.state.frame),
    )
    return Table(framed(columns, turning_points(sketch)))


@asks_splash
def beside(sketch: Sketch, plan: Plan) -> Table:
    """Return the legs of a sketch beside the burns of a flown mission that do the same."""
    return Table(framed(_BESIDE, pairs(sketch, plan)))


def published() -> Table:
    """Return two Hohmann transfers of ours beside reference values, each with its source."""
    columns = ["Hohmann transfer", "computed", "reference", "source"]
    frame = pd.DataFrame(list(_published()), columns=columns)
    frame.attrs["digits"] = dict.fromkeys(columns)
    return Table(frame)


def _published() -> Iterator[tuple[str, str, str, str]]:
    low = hohmann("191.34411 km", "35781.34857 km")
    source = "Vallado, Fundamentals of Astrodynamics and Applications, example 6-1"
    name = "altitude 191.34411 km to altitude 35,781.34857 km"
    yield f"{name}: delta-v", f"{low.delta_v / 1e3:.6f} km/s", "3.935224 km/s", source
    yield f"{name}: time", f"{low.duration / HOUR:.6f} h", "5.256713 h", source
    far = hohmann("185 km", to_distance="384400 km")
    source = "recomputed with the orbit library boinor 0.20: its own transfer and constants"
    name = "altitude 185 km to distance 384,400 km"
    yield f"{name}: delta-v", f"{far.delta_v / 1e3:.6f} km/s", "3.966848 km/s", source
    yield f"{name}: time", f"{far.duration / DAY:.6f} d", "4.977668 d", source
