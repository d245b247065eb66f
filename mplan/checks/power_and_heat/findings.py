"""Do batteries stay within the depth that may be used, and do radiators reject the heat?"""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks import power
from mplan.checks.finding import Finding
from mplan.checks.power_and_heat.charge import ChargeCurve, charge_curves
from mplan.checks.power_and_heat.heat import HeatBalance, heat_balances
from mplan.flight.record import Flight
from mplan.physics.constants import HOUR
from mplan.scenario.figures import at_least
from mplan.scenario.wording import plain

KWH = 3.6e6  # J
DEPTH = "power.battery.usable_depth"
BALANCE = "first-order balance: area, emissivity, temperature and sink in elements.*.radiators"
STEP = "energy along the way, with the shadows that are met"


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield a finding for each battery that is used too far, each radiator that is too small.

    And for energy that lacks between two charges, though the mean of an event has enough of it;
    for a load that is never drawn.
    """
    yield from power.never_drawn(flight)
    if _curves_could_tell(flight):
        lacks = {
            use.element for use in power.used(flight) if use.lacking + use.missed > power.TRIFLE
        }
        for curve in charge_curves(flight):
            if curve.lacking > power.TRIFLE and curve.element not in lacks:
                yield _lacks(curve)
            elif curve.floor > 0.0 and curve.least[0] < curve.floor - power.TRIFLE:
                yield _deep(curve)
    for each in heat_balances(flight):
        if each.margin < 0.0:
            yield _hot(each)


def _curves_could_tell(flight: Flight) -> bool:
    """Tell whether a curve could say more than the means of events: it costs as much as these.

    Arrays go in and out of shadows; a battery was used nearly as far as it may be; and what tanks
    give their fuel cells is known only along the way.
    """
    powers = {name: x.power for name, x in flight.scenario.elements.items() if x.power is not None}
    if any(x.arrays for x in powers.values()):
        return True
    for use in power.used(flight):
        battery, cells = powers[use.element].battery, powers[use.element].fuel_cell
        if battery is None:
            continue
        floor = (1.0 - battery.usable_depth) * use.stored
        if (cells and cells.from_tanks) or use.stored - use.deepest < floor + power.TRIFLE:
            return True
    return False


def _lacks(curve: ChargeCurve) -> Finding:
    when = (curve.empty or 0.0) / HOUR
    text = f"{plain(curve.element)} runs out of electric energy between two charges"
    return Finding(
        severity="stops the flight",
        check="battery",
        event=curve.element,
        text=f"{text}, {when:.1f} h after lift-off",
        figures=at_least((curve.stored + curve.lacking) / KWH, curve.stored / KWH, "kWh"),
        basis=STEP,
    )


def _deep(curve: ChargeCurve) -> Finding:
    left, when = curve.least
    return Finding(
        severity="needs a decision",
        check="battery",
        event=curve.element,
        text=f"the batteries of the {plain(curve.element)} fall to {curve.least_share:.0%} of "
        f"their charge {when / HOUR:.1f} h after lift-off, lower than they may",
        figures=at_least(curve.floor / KWH, left / KWH, "kWh"),
        basis=DEPTH,
    )


def _hot(each: HeatBalance) -> Finding:
    return Finding(
        severity="needs a decision",
        check="heat",
        event=each.cabin,
        text=f"radiators of the {plain(each.cabin)} and what serves it reject "
        f"{each.rejected:.0f} W ({each.phase}), and {each.heat:.0f} W are to be rejected",
        figures=at_least(each.heat, each.rejected, "W", 0),
        basis=BALANCE,
        subject=(each.cabin,),
    )
