"""Does the stack fit assembly hall, launch platform and pad?"""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.finding import Finding
from mplan.flight.record import Flight
from mplan.scenario.figures import amount, at_most
from mplan.vehicle import pad
from mplan.vehicle.pad import SiteLimit


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield a finding for each limit of the launch site that the stack is beyond."""
    for each in pad.limits(flight.scenario):
        if each.over > 0.0 and each.limit is not None and each.found is not None:
            yield _beyond(each, each.limit * each.scale, each.found * each.scale)


def _beyond(each: SiteLimit, limit: float, found: float) -> Finding:
    return Finding(
        severity="stops the flight",
        check="pad",
        event="on the pad",
        text=each.excess.format(f"{amount(each.over * each.scale)} {each.unit}"),
        figures=at_most(limit, found, each.unit),
        basis=f"launch_site.pad.{each.key}",
        subject=(each.key,),
        together="limits of the launch site are exceeded",
        item=f"{each.name}, {amount(each.over * each.scale)} {each.unit} beyond",
    )
