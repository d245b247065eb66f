"""The columns of the dose, and the dose in one sentence."""

from __future__ import annotations

from mplan.checks.radiation import NOT_MODELLED, doses
from mplan.flight.record import Flight
from mplan.physics.constants import HOUR
from mplan.show.columns import Column

MSV = 1e-3  # Sv
NOBODY = "No dose is worked out: nobody is aboard, or the date of lift-off is not known."

PARTS = (
    Column("people", lambda x: x[0].who),
    Column("where", lambda x: x[1].where),
    Column("time [h]", lambda x: x[1].time / HOUR, 1),
    Column("dose, estimate [mSv]", lambda x: x[1].usual / MSV, 1),
    Column("least [mSv]", lambda x: x[1].least / MSV, 1),
    Column("most [mSv]", lambda x: x[1].most / MSV, 1),
    Column("basis", lambda x: x[1].source),
)


def sentence(flight: Flight) -> str:
    """Return the dose in one line, with what is not in it; "" where there is none."""
    found = doses(flight)
    if not found:
        return ""
    most = max(found, key=lambda x: x.most)
    limit = flight.scenario.radiation
    held = f", limit {limit.dose_limit / MSV:.0f} mSv" if limit else ", no limit stated"
    return (
        f"radiation: {most.usual / MSV:.0f} mSv for {most.who}, {most.least / MSV:.0f} to "
        f"{most.most / MSV:.0f} by published rates (estimate{held}); {NOT_MODELLED}"
    )
