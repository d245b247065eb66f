"""What a ship comes to while it waits to be met: its orbit, its upkeep, its days, its energy."""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks import burns, duration, engines, lunar_orbit, power, settling
from mplan.checks.finding import Finding
from mplan.flight.record import Flight
from mplan.physics.constants import DAY

# The rest is asked of the flight by itself, and of what the ship has become part of.
ASKED = (burns, engines, settling, lunar_orbit, duration, power)
LONG = DAY  # s, from which on energy on stand-by is worth a word (common practice, no source)


def findings(flight: Flight) -> Iterator[tuple[str, Finding]]:
    """Yield the name of each ship that was met with each finding on its wait."""
    for name, wait in flight.waits.items():
        for check in ASKED:
            for finding in check.findings(wait):
                if finding.check != "delivery time":  # told of the ship, which does not fly later
                    yield name, finding
        yield from ((name, finding) for finding in _uncounted(wait))


def _uncounted(wait: Flight) -> Iterator[Finding]:
    """Yield a finding where a long wait draws no energy because no load is stated."""
    lasts = wait.duration - wait.start.elapsed
    flown = (x for craft in wait.start.craft for x in craft)
    powered = [x for x in flown if wait.scenario.elements[x].power is not None]
    if lasts < LONG or not powered or wait.on_standby:
        return
    yield Finding(
        severity="for information",
        check="power",
        event=powered[-1],
        text=f"it waits {lasts / DAY:.1f} d, for which none of its elements states a standby_load: "
        "its electric energy is counted from the docking on",
        limit="none stated",
        found="no standby_load",
        basis=power.SOURCE,
    )
