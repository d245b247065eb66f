"""Does the crew's dose stay within the limit that the scenario states?"""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.finding import Finding
from mplan.checks.radiation.dose import NOT_MODELLED, CrewDose, doses
from mplan.checks.radiation.dose import at_most as at_most_of
from mplan.flight.record import Flight
from mplan.scenario.figures import at_most

MSV = 1e-3  # Sv


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield a finding for those whose dose may pass the limit; none where no limit is stated."""
    limit = flight.scenario.radiation
    if limit is None:
        return
    bound = at_most_of(flight)
    if bound is not None and bound <= limit.dose_limit:
        return
    for each in doses(flight):
        if each.most > limit.dose_limit:
            yield _beyond(each, limit.dose_limit)


def _beyond(dose: CrewDose, limit: float) -> Finding:
    usual = dose.usual > limit
    found = dose.usual if usual else dose.most
    says = "passes" if usual else "may pass"
    spread = f"{dose.least / MSV:.0f} to {dose.most / MSV:.0f} mSv"
    return Finding(
        severity="stops the flight" if usual else "needs a decision",
        check="radiation",
        event="the crew",
        text=f"the dose of {dose.who} {says} its limit ({spread} by published rates, estimate); "
        "a solar particle event is not modelled",
        figures=at_most(limit / MSV, found / MSV, "mSv"),
        basis=f"radiation.dose_limit; {NOT_MODELLED}",
        together="doses pass the limit",
    )
