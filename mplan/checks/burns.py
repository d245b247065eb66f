"""Has every burn its delta-v, with what the margin policy reserves?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from mplan.checks.finding import Finding
from mplan.flight.record import BurnRecord, Flight
from mplan.scenario.events import SERIES
from mplan.scenario.figures import Figures, FoundNumber, amount, at_least
from mplan.scenario.wording import plain, verb

REQUIRED = "impulse and losses of the flown burn"
POLICY = "required delta-v and the reserve by the scenario's [margins]"
FLOWN = "the burn flown with its thrust and mass"
ROUNDING = 0.005  # m/s: a stage that burns out is short by rounding only


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield a finding for each burn that cannot be flown or draws on its reserve."""
    ended = flight.ended
    for burn in flight.burns:
        if burn.trouble:
            yield _not_flown(burn)
        if not burn.lit:
            yield _not_lit(burn)
        if lacks(burn) > ROUNDING:
            short = _too_little(burn)
            yield replace(short, text=ended.text) if ended and burn.name == ended.event else short
        elif burn.margin < -ROUNDING:
            yield _reserve_drawn(burn)


def tightest(flight: Flight) -> BurnRecord | None:
    """Return the burn with the least margin among those an engine ends on; None if none."""
    last = {(burn.element, burn.engine): burn for burn in flight.burns if not burn.burns_out}
    return min(last.values(), key=lambda burn: burn.margin, default=None)


def lacks(burn: BurnRecord) -> float:
    """Return how much more delta-v [m/s] a burn requires than is available; negative if less."""
    return burn.required - burn.available


def _not_flown(burn: BurnRecord) -> Finding:
    how = "" if burn.leg in SERIES else " as one burn"
    text = f"{burn.name} cannot be flown{how}: {burn.trouble}"
    return _finding(
        burn, "one burn", text, Figures("a burn that reaches its target", "none"), FLOWN
    )


def _not_lit(burn: BurnRecord) -> Finding:
    text = f"{burn.name} is {burn.note}"
    amounts = (FoundNumber(burn.required, 1),)
    figures = Figures("a change worth a start", f"{burn.required:.1f} m/s", amounts=amounts)
    subject = (burn.element, burn.engine)
    return Finding("for information", "starts", burn.name, text, figures, FLOWN, subject)


def _too_little(burn: BurnRecord) -> Finding:
    text = (
        f"{burn.name} lacks {amount(lacks(burn), 0)} m/s: the {plain(burn.element)} "
        f"{verb(burn.element, 'runs', 'run')} out of propellant first"
    )
    figures = at_least(burn.required, burn.available, "m/s", 0)
    item = f"{burn.name} {amount(lacks(burn), 0)} m/s"
    return _finding(burn, "delta-v", text, figures, REQUIRED, "burns lack delta-v", item)


def _reserve_drawn(burn: BurnRecord) -> Finding:
    text = (
        f"{burn.name} lacks {amount(-burn.margin, 0)} m/s of margin: it can be flown, "
        f"but not with {burn.reserved:.0f} m/s reserved in the {plain(burn.element)}"
    )
    figures = at_least(burn.required + burn.reserved, burn.available, "m/s", 0)
    item = f"{burn.name} {amount(-burn.margin, 0)} m/s"
    return _finding(burn, "delta-v", text, figures, POLICY, "burns lack margin", item)


def _finding(
    burn: BurnRecord,
    check: str,
    text: str,
    figures: Figures,
    basis: str,
    together: str = "",
    item: str = "",
) -> Finding:
    subject = (burn.element, burn.engine)
    stops = Finding("stops the flight", check, burn.name, text, figures, basis, subject)
    return replace(stops, together=together, item=item)
