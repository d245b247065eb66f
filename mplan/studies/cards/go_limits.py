"""Go and no-go: what has to hold before and during an event, from the plan's own figures.

Of a burn the propellant that it and its reserve ask for, its starts, what settles it, when its
tanks run dry, and how far size, direction and time may be off: three standard deviations of what
the scenario says burns miss by ([errors] of those that a correction follows, else [dispersions]).
Of everything else what is left up to the limits that the plan is checked against.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import exp
from typing import NamedTuple

from mplan.checks.limits import Left
from mplan.flight.record import BurnRecord, Flight, Passage
from mplan.physics.constants import DEG, G0
from mplan.scenario.dispersions.spread import Spread
from mplan.scenario.wording import plain
from mplan.studies.odds import Odds
from mplan.vehicle.ledger import thrust

SIGMAS = 3.0  # standard deviations that a burn may be off by (common practice, no source)
ERRORS, DISPERSIONS = "[errors], 3 standard deviations", "[dispersions], 3 standard deviations"
ASKED = "this and later burns of the engine, with [margins]"
MARGINS = "margins and limits of the plan"
CORRECTED = ("translunar injection", "hybrid transfer", "trans-Earth injection")
CORRECTIONS = ("outbound correction", "homeward correction")
STEERED = ("climb", "powered descent", "lunar ascent")  # all the way to their target
# The figures of `limits.left` that an event is held to, by what it does or by its leg.
BY_EVENT = {
    "lift-off": ("launch site, ", "thrust-to-weight"),
    "climb": ("climb, ",),
    "powered descent": ("landing, ",),
    "land": ("landing, ",),
    "enter": ("entry, load", "entry, heat"),
    "splash": ("entry, speed at touchdown",),
    "dock": ("docking cycles, ",),
}


class GoLimit(NamedTuple):
    """A figure, as `planned`, that has to stay between `low` and `high`; None where it need not.

    `source` says what the bounds rest on.
    """

    what: str
    planned: float | None
    low: float | None
    high: float | None
    unit: str
    digits: int
    source: str


def of(
    flight: Flight, passage: Passage, left: Sequence[Left], odds: Odds | None
) -> tuple[GoLimit, ...]:
    """Return what has to hold for an event; `left` is what the flight leaves up to its limits."""
    burn = passage.burn if passage.burn is not None and passage.burn.lit else None
    found = [*(_of_burn(flight, burn, odds) if burn else ())]
    kinds = {passage.event.do, burn.leg if burn else ""}
    names = [x for kind in kinds for x in BY_EVENT.get(kind, ())]
    found += [_of_left(x) for x in left if x.name.startswith(tuple(names)) and names]
    return tuple(found)


def rest_on(flight: Flight, odds: Odds | None) -> str:
    """Return in words what the limits of all cards rest on."""
    scenario, said = flight.scenario, []
    if scenario.errors is not None:
        said.append("burns that a correction follows and corrections may be off by [errors]")
    if scenario.dispersions is not None:
        said.append("other burns by [dispersions], 3 standard deviations each")
    if odds is not None:
        said.append(f"margins left by {odds.flown:,} missions drawn from [dispersions]")
    said.append("all else: margins and limits that the plan is checked against")
    if scenario.errors is None and scenario.dispersions is None:
        said.append("how far burns may be off is not stated: no [errors], no [dispersions]")
    return "; ".join(said)


def _of_left(each: Left) -> GoLimit:
    return GoLimit(each.name, each.left, 0.0, None, each.unit, each.digits, MARGINS)


def _of_burn(flight: Flight, burn: BurnRecord, odds: Odds | None) -> Iterator[GoLimit]:
    engine = flight.scenario.elements[burn.element].engines[burn.engine]
    fed = plain(engine.crossfeed or burn.element)
    if not burn.burns_out:
        least = burn.usable - _spare(flight, burn, engine.isp_vacuum)
        what = f"propellant in {fed} at ignition"
        yield GoLimit(what, burn.usable, least, None, "kg", 0, ASKED)
    first, last = float(burn.start), float(burn.start + burn.starts - 1)
    yield GoLimit(
        "start number",
        last if last > first else first,
        None,
        engine.starts,
        "",
        0,
        "starts that the engine is qualified for",
    )
    if burn.settling is not None and burn.settling.element:
        lasts = burn.settling.duration
        yield GoLimit("settling thrust", lasts, lasts, None, "s", 0, "what settles the tanks")
    if burn.starts == 1 and burn.leg not in STEERED:
        dry = burn.usable * engine.isp_vacuum * G0 / thrust(engine)
        yield GoLimit(
            "burn time", burn.duration, None, dry, "s", 0, "tanks run dry, residuals kept"
        )
    yield from _missed(flight, burn)
    yield from _odds(burn, odds)


def _spare(flight: Flight, burn: BurnRecord, isp: float) -> float:
    """Return the propellant [kg] that may lack at ignition: that no burn of its engine is short.

    Of this burn and all later ones the margin is worth so much after it. A craft that is lighter
    by a kilogram before a burn is lighter after it by the burn's mass ratio, which is its share of
    that worth. Below zero where it lacks.
    """
    own = (x for x in flight.every_burn if (x.element, x.engine) == (burn.element, burn.engine))
    ratio, spare = 1.0, []
    for each in (x for x in own if x.start >= burn.start and x.lit):
        end = each.mass - each.propellant
        ratio *= end / each.mass
        spare.append(end * (1.0 - exp(-each.margin / (isp * G0))) / ratio)
    return min(spare)


def _missed(flight: Flight, burn: BurnRecord) -> Iterator[GoLimit]:
    """Yield how far off a burn's size and direction may be."""
    errors, spreads = flight.scenario.errors, flight.scenario.dispersions
    gained = burn.impulse
    if burn.leg in STEERED or burn.starts > 1:
        return
    if errors is not None and burn.leg in CORRECTED:
        yield _around("velocity gained", gained, SIGMAS * errors.speed, ERRORS)
        yield _off("direction off by", SIGMAS * errors.direction, ERRORS)
    elif errors is not None and burn.leg in CORRECTIONS:
        yield _around("velocity gained", gained, SIGMAS * errors.correction_size * gained, ERRORS)
        yield _off("direction off by", SIGMAS * errors.correction_direction, ERRORS)
    elif spreads is not None and burn.leg not in (*CORRECTED, *CORRECTIONS):
        if spreads.burn_size is not None:
            yield _scattered("velocity gained", gained, spreads.burn_size, "m/s")
        if spreads.burn_direction is not None:
            most = _bounds(spreads.burn_direction, 0.0)[1]
            yield _off("direction off by", most, _source(spreads.burn_direction))
    own = spreads.thrust if spreads is not None else None
    if own is not None and own.relative:
        low, high = _bounds(own, 1.0)
        limit = burn.duration / high, burn.duration / low
        source = f"{_source(own)} of thrust"
        yield GoLimit("burn time, by thrust", burn.duration, *limit, "s", 1, source)


def _around(what: str, planned: float, off: float, source: str) -> GoLimit:
    return GoLimit(what, planned, planned - off, planned + off, "m/s", 1, source)


def _off(what: str, most: float, source: str) -> GoLimit:
    return GoLimit(what, None, None, most / DEG, "deg", 2, source)


def _scattered(what: str, planned: float, spread: Spread, unit: str) -> GoLimit:
    return GoLimit(what, planned, *_bounds(spread, planned), unit, 1, _source(spread))


def _bounds(spread: Spread, planned: float) -> tuple[float, float]:
    """Return the bounds of a figure: three standard deviations, or those that are stated."""
    low, high = spread.low, spread.high
    if spread.sigma is not None:
        low, high = -SIGMAS * spread.sigma, SIGMAS * spread.sigma
    if spread.relative:
        return planned * (1.0 + low), planned * (1.0 + high)
    return planned + low, planned + high


def _source(spread: Spread) -> str:
    return DISPERSIONS if spread.sigma is not None else "[dispersions], its bounds"


def _odds(burn: BurnRecord, odds: Odds | None) -> Iterator[GoLimit]:
    """Yield the margin that all but one in a hundred of the missions drawn keep."""
    found = next((x for x in odds.burns if x.name == burn.name), None) if odds else None
    if found is not None and odds is not None:
        source = f"1 % of {odds.flown:,} drawn missions are below"
        low, planned = found.left.quantiles[0], found.left.planned
        yield GoLimit("velocity left after it", planned, low, None, "m/s", 0, source)
