"""What a ship comes to while it waits to be met: its orbit, its upkeep, its days, its energy."""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks import burns, duration, engines, lunar_orbit, power, settling
from mplan.checks.finding import Finding
from mplan.checks.lunar_orbit import lowest_perilune, perilune
from mplan.flight.record import Flight
from mplan.physics.burns.orbit_upkeep import sunk
from mplan.physics.constants import DAY, R_MOON
from mplan.scenario.figures import Figures, at_least

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
        yield from ((name, finding) for finding in (*_uncounted(wait), *unkept(wait)))


def unkept(wait: Flight) -> Iterator[Finding]:
    """Yield a finding where its perilune sinks below its limit after the last upkeep.

    The one that comes goes round until the phase is right, days at the most, and brakes at its
    side; meanwhile the orbit is not restored, and the rendezvous is flown to where it has drifted.
    """
    plan, last = wait.scenario.orbit_upkeep, wait.passages[-1]
    if plan is None or last.before.moon is None:
        return
    low = sunk(last.before.orbit, R_MOON + plan.lowest_perilune, last.after.t)
    if low is None:
        return
    since, days = last.after.t - low.t, (low.t - last.before.t) / DAY
    least = min(perilune(low), lowest_perilune(last))
    yield Finding(
        severity="for information",
        check="orbit upkeep",
        event=last.moment.event,
        text=f"its perilune sinks below the limit {days:.1f} d after the last upkeep, "
        f"{since / DAY:.1f} d before it is docked to: while the ship that comes goes round until "
        "the phase is right, the orbit is not restored",
        figures=at_least(plan.lowest_perilune / 1e3, least / 1e3, "km"),
        basis="orbit_upkeep.lowest_perilune; perilune when first seen below it and at the docking",
    )


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
        figures=Figures("none stated", "no standby_load"),
        basis=power.SOURCE,
    )
