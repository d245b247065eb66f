"""The columns of loads, stores and radiators."""

from __future__ import annotations

from mplan.checks.power import KWH
from mplan.physics.constants import HOUR
from mplan.scenario.wording import plain
from mplan.show.columns import Column, clock

NOTHING_STORED = "No element that is used stores electric energy."
NO_RADIATORS = "Not examined: no element that people live in, or that serves one, has radiators."

LOADS = (
    Column("phase", lambda x: x.phase),
    Column("element", lambda x: plain(x.element)),
    Column("use", lambda x: "stand-by" if x.standby else "in use"),
    Column("lasts [h]", lambda x: x.duration / HOUR, 1),
    Column("mean load [W]", lambda x: x.load, 0),
    Column("own supply [W]", lambda x: x.supply, 0),
    Column("takes in all [kWh]", lambda x: x.energy / KWH, 1),
)

CHARGES = (
    Column("element", lambda x: plain(x.element)),
    Column("stored when full [kWh]", lambda x: x.stored / KWH, 1),
    Column("least [kWh]", lambda x: x.least[0] / KWH, 1),
    Column("least [%]", lambda x: 100.0 * x.least_share, 0),
    Column("when", lambda x: clock(x.least[1])),
    Column("may fall to [kWh]", lambda x: x.floor / KWH or None, 1),
    Column("at the end [kWh]", lambda x: float(x.left[-1]) / KWH, 1),
    Column("lacking [kWh]", lambda x: x.lacking / KWH or None, 1),
)

HEAT = (
    Column("cabin and what serves it", lambda x: plain(x.cabin)),
    Column("phase", lambda x: x.phase),
    Column("lasts [h]", lambda x: x.duration / HOUR, 1),
    Column("electric [W]", lambda x: x.electric, 0),
    Column("people [W]", lambda x: x.people, 0),
    Column("absorbed [W]", lambda x: x.absorbed, 0),
    Column("radiators reject [W]", lambda x: x.rejected, 0),
    Column("margin [W]", lambda x: x.margin, 0),
    Column("basis", lambda x: "estimate: first-order balance"),
)
