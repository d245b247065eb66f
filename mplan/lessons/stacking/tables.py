"""Lesson 2's formulas beside a flown mission: its burns, its losses, a heavier payload."""

from __future__ import annotations

from mplan.lessons.stacking import formulas
from mplan.plan import Plan, fly
from mplan.scenario.quantities import parse
from mplan.show.columns import Column
from mplan.show.notebook import Table
from mplan.show.tables import framed

LEAST = 0.05  # m/s, that a table of losses in tenths still shows


def ride(plan: Plan) -> Table:
    """Return the burns that carry the payload from the parking orbit to the ground."""
    columns = (
        Column("burn", lambda x: x.name),
        Column("delta-v, with losses [m/s]", lambda x: x.required, 0),
        Column("Isp [s]", lambda x: formulas.isp_of(x, plan), 0),
        Column("mass at ignition [t]", lambda x: x.mass / 1e3, 2),
    )
    return Table(framed(columns, formulas.carrying(plan)))


def losses(plan: Plan) -> Table:
    """Return the losses of a flown mission, each with its cause; those that round to none apart."""
    every = [(x, cause, loss) for x in plan.burns for cause, loss in x.losses.items()]
    rows = [row for row in every if row[2] >= LEAST]
    columns = (
        Column("burn", lambda row: row[0].name),
        Column("thrust-to-weight", lambda row: row[0].thrust_to_weight, 2),
        Column("duration [s]", lambda row: row[0].duration, 0),
        Column("delta-v, with losses [m/s]", lambda row: row[0].required, 0),
        Column("lost to", lambda row: row[1]),
        Column("loss [m/s]", lambda row: row[2], 1),
    )
    return Table(framed(columns, rows))


def beside_flown(plan: Plan, more: str) -> Table:
    """Return what `more` payload, such as "100 kg", takes from each margin: by hand, and flown."""
    extra = parse(more, "kg")
    key = "mission.payload_down"
    heavier = f"{plan.scenario.mission.payload_down + extra} kg"
    again = {x.name: x for x in fly(plan.scenario.change(key, heavier), like=plan).burns}
    rows = [
        (
            x.name,
            formulas.taken(x, formulas.isp_of(x, plan), extra),
            x.margin - again[x.name].margin,
        )
        for x in formulas.carrying(plan)
        if x.name in again
    ]
    columns = (
        Column("burn", lambda row: row[0]),
        Column("by hand [m/s]", lambda row: row[1], 1),
        Column("flown [m/s]", lambda row: row[2], 1),
    )
    return Table(framed(columns, rows))
