"""The front door of workbook 06, at the Moon: what its cells show."""

from __future__ import annotations

from mplan.show.moon.panel import panel
from mplan.show.moon.pictures import (
    aborts,
    ascent,
    ascent_attitude,
    descent,
    descent_attitude,
    final_descent,
    lift_offs,
    rendezvous,
    sky,
)
from mplan.show.moon.rendezvous_tables import rendezvous_burns, rescue, schedules
from mplan.show.moon.tables import (
    abort_table,
    ascent_table,
    figures,
    losses,
    lunar_orbits,
    passes,
    phases,
    ship,
)

__all__ = [
    "abort_table",
    "aborts",
    "ascent",
    "ascent_attitude",
    "ascent_table",
    "descent",
    "descent_attitude",
    "figures",
    "final_descent",
    "lift_offs",
    "losses",
    "lunar_orbits",
    "panel",
    "passes",
    "phases",
    "rendezvous",
    "rendezvous_burns",
    "rescue",
    "schedules",
    "ship",
    "sky",
]
