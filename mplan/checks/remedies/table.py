"""Which proposals belong to which check."""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.finding import Finding
from mplan.checks.remedies.kinds import (
    control,
    dates,
    delta_v,
    docking,
    duration,
    engines,
    entry,
    escape,
    fit,
    impact,
    landing,
    meeting,
    orbit_height,
    order,
    pad,
    settling,
    stores,
    thrust,
    thrusters,
    transfer,
)
from mplan.checks.remedies.proposal import Proposal, Proposals
from mplan.checks.remedies.trials import Trials
from mplan.flight.record import Flight


def nothing(finding: Finding, flight: Flight, trials: Trials) -> Iterator[Proposal]:
    """Propose nothing: no change is known that would help."""
    return iter(())


PROPOSALS: dict[str, Proposals] = {
    "sequence": order.proposals,
    "pad": pad.proposals,
    "fit": fit.proposals,
    "thrust": thrust.stronger,
    "climb": thrust.of_climb,
    "impact": impact.proposals,
    "one burn": thrust.stronger,
    "delta-v": delta_v.proposals,
    "starts": engines.with_starts,
    "qualified duration": engines.with_duration,
    "longest burn": engines.with_duration,
    "restart": engines.with_pause,
    "docking cycles": docking.proposals,
    "delivery time": engines.in_time,
    "settling": settling.proposals,
    "thrusters": thrusters.proposals,
    "propellant transfer": transfer.proposals,
    "control": control.proposals,
    "escape": escape.proposals,
    "landing": landing.proposals,
    "lunar orbit": orbit_height.proposals,
    "supplies": stores.of_supplies,
    "contingency": stores.of_contingency,
    "air": nothing,
    "battery": stores.of_battery,
    "heat": stores.of_heat,
    "radiation": duration.of_dose,
    "power": stores.of_power,
    "duration": duration.proposals,
    "light": dates.of_light,
    "recovery": dates.of_recovery,
    "rendezvous": meeting.proposals,
    "terrain": meeting.higher,
    "rescue": meeting.rescued,
    "entry": entry.proposals,
}
