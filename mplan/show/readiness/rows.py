"""The lines of the readiness sheet, part by part."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import NamedTuple

from mplan.checks import contact, limits
from mplan.checks.contact import ContactLog, links
from mplan.flight.record import Flight
from mplan.plan import Plan
from mplan.scenario.figures import apart
from mplan.scenario.radio.rates import rate_in_words
from mplan.scenario.severity import SEVERITIES
from mplan.scenario.wording import plain
from mplan.show import limits as limit_rows
from mplan.show.columns import Column, clock
from mplan.show.readiness.states import ORDER, ReadyState, held, marked

COUNTED = ("starts", "burn time", "longest burn", "restart interval", "docking cycles")
NO_LIMIT = ("stranded propellant", "unit cost", "nonrecurring cost")
BY_SEVERITY: dict[str, ReadyState] = dict(
    zip(SEVERITIES, ("not met", "to decide", "for information"), strict=True)
)
# Events whose times a launch team keeps, by what they do and by leg.
MILESTONES = ("lift-off", "land", "lift off", "dock", "undock", "enter", "splash")
BURN_DATES = (
    "translunar injection",
    "lunar-orbit insertion",
    "powered descent",
    "lunar ascent",
    "trans-Earth injection",
)


class ReadinessRow(NamedTuple):
    """A line: what, what was found, its limit, what is left, its state, and what it rests on."""

    part: str
    item: str
    found: str
    limit: str
    left: str
    state: ReadyState
    basis: str = ""


COLUMNS = (
    Column("part", lambda row: row.part),
    Column("what", lambda row: row.item),
    Column("found", lambda row: row.found),
    Column("limit", lambda row: row.limit),
    Column("left", lambda row: row.left),
    Column("state", lambda row: marked(row.state)),
    Column("basis", lambda row: row.basis),
)


def every_row(plan: Plan) -> tuple[ReadinessRow, ...]:
    """Return every line, part by part; what is not met stands first in each."""
    found = [
        *_decisions(plan),
        *_margins(plan),
        *_limits(plan, counted=False),
        *_left(plan.flight),
        *_limits(plan, counted=True),
        *_contact(plan.flight),
        *_dates(plan),
    ]
    parts = list(dict.fromkeys(row.part for row in found))
    return tuple(
        sorted(
            found,
            key=lambda row: (parts.index(row.part), row.part != "date" and ORDER.index(row.state)),
        )
    )


def summary(found: tuple[ReadinessRow, ...]) -> str:
    """Return how many lines have which state, in words."""
    counts = Counter(row.state for row in found)
    told = [f"{counts[state]} {state}" for state in ORDER if counts[state]]
    return f"{len(found)} lines: {', '.join(told)}"


def _decisions(plan: Plan) -> Iterator[ReadinessRow]:
    """Yield the verdict and every finding."""
    if not plan.closes:
        state: ReadyState = "not met"
    else:
        state = "to decide" if plan.decisions_open else "met"
    many = plan.decisions_open  # they stand below, line by line
    asks = f", {many} decision{'s' * (many > 1)} open" if many else ""
    whole = f"closes{asks}" if plan.closes else plan.verdict
    limit = "closes, no decision open"
    yield ReadinessRow("decision", "the plan as a whole", whole, limit, "", state)
    for each in plan.findings:
        said = each.check, each.text, each.limit
        yield ReadinessRow("decision", *said, "", BY_SEVERITY[each.severity], each.basis)


def _margins(plan: Plan) -> Iterator[ReadinessRow]:
    for burn in plan.every_burn:
        note = f"estimate: {burn.estimate}" if burn.estimate else ""
        item = f"{burn.name}, {plain(burn.element)}"
        if burn.burns_out:
            said = "burns out by plan", "", ""
            yield ReadinessRow("margin", item, *said, "planned", note)
            continue
        needed = burn.required + burn.reserved
        limit, found = apart(needed, burn.available)
        left = f"{apart(0.0, burn.margin)[1]} m/s"
        said = f"{found} m/s available", f"{limit} m/s with its reserve", left
        yield ReadinessRow("margin", item, *said, held(burn.margin), note)


def _limits(plan: Plan, *, counted: bool) -> Iterator[ReadinessRow]:
    part = "counter" if counted else "limit"
    for row in limits.of(plan.flight):
        if row.kind not in NO_LIMIT and (row.kind in COUNTED) == counted:
            texts = limit_rows.used(row), limit_rows.limit(row), limit_rows.left(row)
            yield ReadinessRow(part, f"{row.kind}, {row.name}", *texts, held(row.left), row.note)


def _left(flight: Flight) -> Iterator[ReadinessRow]:
    """Yield what is left up to the limits that no figure of `limits.of` has."""
    for each in limits.left.of(flight, without=("control",)):
        if not each.kind:
            limit, left = apart(0.0, each.left, each.digits)
            state = held(each.left)
            if state == "not met":
                state = BY_SEVERITY[each.severity]
            said = "", f"{limit} {each.unit} left at least", f"{left} {each.unit}"
            yield ReadinessRow("limit", each.name, *said, state, f"check: {each.check}")


def _contact(flight: Flight) -> Iterator[ReadinessRow]:
    log = contact.of(flight)
    if not log.passes:
        text = "the scenario states no [stations]"
        yield ReadinessRow("contact", "burns and events seen", "", "", "", "not stated", text)
        return
    seen = sum(bool(each.stations) for each in log.events)
    found = f"{seen} of {len(log.events)}"
    yield ReadinessRow("contact", "burns and events seen", found, "", "", "for information")
    yield from _links(log)


def _links(log: ContactLog) -> Iterator[ReadinessRow]:
    if not log.links:
        text = "no [elements.X.radio], or no station states what it receives with"
        yield ReadinessRow("contact", "radio links", "", "", "", "not stated", text)
    for each in links.best(log.links):
        low = each.least
        item = f"link {each.direction} of {plain(each.radio)}, for {plain(each.element)}"
        limit, found = apart(each.wanted, low.margin)
        left = f"{apart(0.0, low.margin - each.wanted)[1]} dB"
        basis = f"{rate_in_words(each.rate)}, least at {clock(low.elapsed)}"
        said = f"{found} dB", f"{limit} dB at least", left
        yield ReadinessRow("contact", item, *said, held(low.margin - each.wanted), basis)


def _dates(plan: Plan) -> Iterator[ReadinessRow]:
    flight, dates = plan.flight, plan.scenario.dates
    if dates.decision_day is not None:
        text = f"{dates.decision_day:%Y-%m-%d}"
        yield ReadinessRow("date", "hardware decided on", text, "", "", "planned", "decision_day")
    for each in flight.every_moment:
        burn = next((x for x in flight.every_burn if x.name == each.event), None)
        if each.kind in MILESTONES or (burn is not None and burn.leg in BURN_DATES):
            when = clock(each.elapsed)
            if flight.dated:
                yield ReadinessRow(
                    "date", each.event, _utc(flight, each.elapsed), "", "", "planned", when
                )
            else:
                yield ReadinessRow("date", each.event, "", "", "", "not examined", when)
    text = "the hours of the day and other days: mplan windows"
    yield ReadinessRow("date", "launch window", "", "", "", "not examined", text)


def _utc(flight: Flight, elapsed: float) -> str:
    return f"{flight.utc(elapsed):%Y-%m-%d %H:%M:%S} UTC"
