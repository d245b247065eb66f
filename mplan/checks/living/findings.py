"""Do supplies last for the time that is kept beyond the plan, and is the air fit to breathe?"""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.finding import Finding
from mplan.checks.living.air import Co2Curve, co2_curves
from mplan.checks.living.outlook import Outlook, contingency, outlooks
from mplan.flight.record import Flight
from mplan.physics.constants import DAY, HOUR
from mplan.scenario.figures import at_least, at_most
from mplan.scenario.wording import plain

BASIS = "first-order balance of one cabin; limit: supplies.co2_limit"


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield a finding for each cabin that lacks contingency, and each whose air has too much CO2.

    What runs out within the plan, absorbers too, is the supplies' own finding.
    """
    if flight.scenario.contingency is not None:
        for each in outlooks(flight):
            if 0.0 <= each.days * DAY < contingency(flight):
                yield _short(each, contingency(flight))
    for curve in co2_curves(flight):
        if curve.beyond is not None and curve.exhausted is None:
            yield _stale(curve, curve.beyond)


def _short(found: Outlook, kept: float) -> Finding:
    return Finding(
        severity="needs a decision",
        check="contingency",
        event=found.element,
        text=f"{found.use.label} in the {plain(found.element)} lasts {found.days:.1f} d beyond the "
        f"plan, and {kept / DAY:.1f} d are to be kept",
        figures=at_least(kept / DAY, found.days, "d"),
        basis="contingency.time",
        subject=(found.element, found.use.supply),
    )


def _stale(curve: Co2Curve, beyond: float) -> Finding:
    most, when = curve.most
    return Finding(
        severity="needs a decision",
        check="air",
        event=curve.element,
        text=f"carbon dioxide in the air of the {plain(curve.element)} passes its limit "
        f"{beyond / HOUR:.1f} h after lift-off, and is most at {when / HOUR:.1f} h",
        figures=at_most(curve.limit, most, "Pa"),
        basis=BASIS,
        subject=(curve.element,),
    )
