"""What stands on a card, as labels with text."""

from __future__ import annotations

from collections.abc import Iterator
from math import degrees

from mplan.contingencies.ways_out.looks import WayLeft
from mplan.contingencies.ways_out.way_out import WayOut
from mplan.flight.pointing import PointedBurn, ThrustDirection
from mplan.flight.record import BurnRecord, Flight
from mplan.scenario.wording import place, plain
from mplan.show.columns import clock, started
from mplan.show.readiness.states import MARKS
from mplan.studies.cards import MARGINS, EventCard, GoLimit, IfItFails

FROM_TRACKING = "not known before flight: from tracking"
NOBODY = "nobody is aboard"
NO_WAYS = "not asked for"
Line = tuple[str, str]


def facts(card: EventCard) -> Iterator[Line]:
    """Yield what is flown: craft, engine, settling, times, velocities, contact."""
    moment, burn = card.passage.moment, card.passage.burn
    craft = burn.craft if card.is_burn and burn else moment.craft
    yield "craft", " + ".join(map(plain, craft)) or "none"
    mass = burn.mass if card.is_burn and burn else moment.mass
    yield "mass then", f"{mass:,.0f} kg, {card.crew} aboard"
    if card.is_burn and burn is not None:
        yield from _burn(card, burn)
    else:
        lasts = card.passage.after.elapsed - card.passage.before.elapsed
        if lasts >= 1.0:
            yield "lasts", clock(lasts)
        if moment.note:
            yield "note", moment.note
    yield from _contact(card)


def _burn(card: EventCard, burn: BurnRecord) -> Iterator[Line]:
    engine = burn.at_ignition.scenario.elements[burn.element].engines[burn.engine]
    many = f"{engine.count} x " if engine.count > 1 else ""
    yield "engine", f"{many}{engine.label or plain(burn.engine)} of {plain(burn.element)}"
    last = burn.start + burn.starts - 1
    row = f", to {last} in {burn.starts} burns" if burn.starts > 1 else ""
    yield "start", f"{started(burn)}{row}"
    yield "settling", _settling(burn)
    yield from _pointed(card.points)
    yield "duration", f"{burn.duration:,.1f} s{' in all' if burn.starts > 1 else ''}"
    lost = sum(burn.losses.values())
    yield (
        "velocity",
        (
            f"to be gained {burn.impulse:,.1f} m/s; with losses of {lost:,.1f} m/s the engine "
            f"gives {burn.required:,.1f} m/s"
        ),
    )
    yield from _cut_off(card.points)
    yield "propellant", f"{burn.propellant:,.0f} kg of {burn.usable:,.0f} kg usable"
    if not burn.burns_out:
        yield "margin after it", f"{burn.margin:,.1f} m/s; {burn.reserved:,.1f} m/s reserved"
    for what in (burn.estimate and f"estimate: {burn.estimate}", burn.note, burn.trouble):
        if what:
            yield "note", what


def _settling(burn: BurnRecord) -> str:
    done = burn.settling
    if done is None:
        return "none needed"
    if not done.element:
        return "nothing settles it"
    by = f"{plain(done.engine)} of {plain(done.element)}"
    from_when = burn.elapsed - done.duration
    return f"{done.duration:,.1f} s by {by} from {clock(from_when)}, {done.propellant:,.0f} kg"


def _pointed(points: tuple[PointedBurn, ...]) -> Iterator[Line]:
    if not points:
        yield "attitude", FROM_TRACKING
    for each in points:
        first = f"{each.name}, {clock(each.elapsed or 0.0)}: " if each.name else ""
        size = f"{each.gained or 0.0:,.2f} m/s; " if each.name else ""
        for direction in each.directions:
            yield f"attitude, {direction.at}", f"{first}{size}{attitude(direction)}"


def attitude(there: ThrustDirection) -> str:
    """Return a direction of thrust in words, in both frames."""
    local = f"pitch {_angle(there.pitch)}, yaw {_angle(there.yaw)} over the local horizontal"
    if there.right_ascension is None or there.declination is None:
        return f"{local}; in the sky not known without a date"
    sky = f"{_angle(there.right_ascension)}, declination {_angle(there.declination)}"
    return f"{local}; right ascension {sky}"


def _angle(angle: float) -> str:
    return f"{round(degrees(angle), 1) + 0.0:.1f} deg"


def _cut_off(points: tuple[PointedBurn, ...]) -> Iterator[Line]:
    alone = [x for x in points if not x.name]
    for each in alone:
        if each.speed_at_ignition is not None and each.speed_at_cut_off is not None:
            said = f"{each.speed_at_cut_off:,.1f} m/s {each.speeds}, about {each.body}"
            yield "cut-off velocity", f"{said}; at ignition {each.speed_at_ignition:,.1f} m/s"


def _contact(card: EventCard) -> Iterator[Line]:
    seen = card.seen
    if seen is not None:
        who = ", ".join(seen.stations) if seen.stations else f"nobody: {seen.why}"
        link = "" if card.link is None else f"; radio links {card.link:+.1f} dB over what is wanted"
        yield "contact", f"{who}{link}"
    elif card.silent is None:
        yield "contact", "not examined"
    elif card.silent >= 1.0:
        yield "contact", f"no station for {clock(card.silent)} of it"


def go_if(limit: GoLimit) -> str:
    """Return a limit in one line: what, between which bounds, planned how."""
    digits, unit = limit.digits, f" {limit.unit}".rstrip()
    planned = "" if limit.planned is None else f"{limit.planned:,.{digits}f}{unit}"
    if limit.source == MARGINS:  # what is left up to a limit of the plan
        beyond = "" if (limit.planned or 0.0) >= 0.0 else f" {MARKS['not met']} not met"
        return f"{limit.what}: within its limit, {planned} left as planned{beyond}"
    low, high = (None if x is None else f"{x:,.{digits}f}" for x in (limit.low, limit.high))
    if low is not None and high is not None:
        bounds = f"{low} to {high}{unit}"
    elif low is not None:
        bounds = f"{low}{unit} at least"
    else:
        bounds = f"{high}{unit} at most"
    said = f", planned {planned}" if planned else ""
    return f"{limit.what}: {bounds}{said} ({limit.source})"


def fails(card: EventCard) -> Iterator[Line]:
    """Yield what to do if it fails: the failure and when, then the way out that is left."""
    if card.ship or not card.crew:
        yield "", NOBODY
        return
    if not card.ways:
        yield "", NO_WAYS
    for each in card.ways:
        yield _failure(each, card), _way(each.left)


def _failure(each: IfItFails, card: EventCard) -> str:
    cabins = {x.cabin for x in card.ways}
    of = f", {plain(each.cabin)}" if len(cabins) > 1 else ""
    return f"{each.failure} {each.when}{of}"


def _way(left: WayLeft) -> str:
    """Return a way out in words; why there is none, where there is none."""
    if left.kind == "not examined":
        return f"{MARKS['not examined']} not examined: {left.reason}"
    if left.kind == "closed" or left.way is None:
        return f"{MARKS['not met']} no way out: {left.reason}"
    return f"{MARKS['met']} {_open(left.way)}"


def _open(way: WayOut) -> str:
    said = [way.name]
    for burn in way.burns:
        engine = f"{plain(burn.engine)} of {plain(burn.element)}"
        said.append(
            f"{burn.what} at {clock(burn.elapsed)} by {engine}, {burn.required:,.0f} of "
            f"{burn.available:,.0f} m/s"
        )
    if way.home is not None:
        where = f" at {place(way.lands.latitude, way.lands.longitude)}" if way.lands else ""
        said.append(f"{way.ends}{where} at {clock(way.home)}")
    if way.note:
        said.append(way.note)
    if way.estimate:
        said.append(f"estimate: {way.estimate}")
    return "; ".join(said)


def when(card: EventCard, flight: Flight) -> str:
    """Return the time of a card since lift-off and, where known, in UTC."""
    since = clock(card.elapsed)
    return f"{since}, {flight.utc(card.elapsed):%Y-%m-%d %H:%M:%S} UTC" if flight.dated else since
