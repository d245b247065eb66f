"""What does not fit in a schedule: each clash with remedies that were scheduled anew."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations, product

from mplan.programme.clashing.holds import Hold, holds
from mplan.programme.clashing.remedies import for_budget, for_hold
from mplan.programme.costs import by_year
from mplan.programme.entries import Clash
from mplan.programme.launching import Held, Launching
from mplan.programme.schedule import Schedule

WORDS = {"pad": "pad", "crew": "crew", "team": "control team"}


def clashes(found: Schedule, *, remedies: bool = True) -> tuple[Clash, ...]:
    """Return what does not fit, the gravest first."""
    listed = [*_stated(found, remedies), *_twice(found)]
    for key, each in found.asked.items():
        if not each.flown:
            listed += _of_launch(found, key, remedies)
    listed += _budget(found, remedies)
    order = ("stops the flight", "needs a decision", "for information")
    return tuple(sorted(listed, key=lambda clash: order.index(clash.severity)))


def _stated(found: Schedule, remedies: bool) -> Iterator[Clash]:
    """Yield launches whose stated day cannot be held."""
    for key in sorted(found.solved.freed):
        stated, day = found.asked[key].day, found.solved.launches[key]
        if stated is not None and day != stated:
            hold = holds(found, key)[0]
            text = (
                f"{found.programme.title(key)} cannot lift off on {found.day(stated)} as stated: "
            )
            text += f"{hold.text(found)} lets it go on {found.day(hold.day)}, it lifts off on "
            text += f"{found.day(day)}, {day - stated} d later"
            yield Clash(
                text,
                "stops the flight",
                _tasks(found, key, hold),
                _tried(found, key, hold, remedies, stated),
            )


def _twice(found: Schedule) -> Iterator[Clash]:
    """Yield what flights under way hold twice."""
    flown = [x for x in found.asked.values() if x.flown]
    for one, other in combinations(flown, 2):
        for held, again in product(_held(one), _held(other)):
            if (held.kind, held.name) != (again.kind, again.name):
                continue
            (first, until), (second, begins) = (one, held.ends), (other, again.begins)
            if again.begins < held.begins:
                (first, until), (second, begins) = (other, again.ends), (one, held.begins)
            if until > max(begins, 0) and max(held.ends, again.ends) > 0:
                titles = found.programme.title(first.key), found.programme.title(second.key)
                text = f"{WORDS[held.kind]} {held.name} is taken up twice: by {titles[0]} until "
                text += f"{found.day(until)} and by {titles[1]} from {found.day(begins)}"
                keys = (f"flight:{first.key}", f"flight:{second.key}")
                yield Clash(text, "stops the flight", keys)


def _held(each: Launching) -> list[Held]:
    """Return what a flight that has lifted off takes up, in days from today."""
    day = each.day or 0
    return [x._replace(begins=x.begins + day, ends=x.ends + day) for x in each.spans(0)]


def _of_launch(found: Schedule, key: str, remedies: bool) -> Iterator[Clash]:
    """Yield what one launch misses or waits for."""
    each, day = found.asked[key], found.solved.launches[key]
    title, listed = found.programme.title(key), holds(found, key)
    hold, told = listed[0], False
    if each.deadline is not None and day > each.deadline:
        told = True
        text = (
            f"{title} lifts off on {found.day(day)}, {day - each.deadline} d after its deadline, "
        )
        text += (
            f"{found.day(each.deadline)}: {hold.text(found)} lets it go on {found.day(hold.day)}"
        )
        tried = _tried(found, key, hold, remedies, each.deadline)
        yield Clash(text, "needs a decision", _tasks(found, key, hold), tried)
    if key in found.unflown:
        text = (
            f"{title} lifts off on {found.day(day)}, a day that is not flown: whether it is in a "
        )
        yield Clash(text + "window is not known", "for information", (f"flight:{key}",))
    if each.windows and not any(a <= day <= b for a, b in each.windows):
        told = True
        text = f"{title} lifts off on {found.day(day)}, in none of its windows, of which the last "
        text += f"closes on {found.day(each.windows[-1][1])}: {hold.text(found)} lets it go on "
        tried = _tried(found, key, hold, remedies, each.windows[-1][1])
        text += f"{found.day(hold.day)}"
        yield Clash(text, "needs a decision", _tasks(found, key, hold), tried)
    elif missed := [x for x in each.told if _after_others(found, each) <= x[1] < day]:
        told = True
        yield _missed(found, key, missed, remedies)
    if not told and hold.kind in ("pad", "crew", "team") and hold.by and hold.day == day:
        wait = hold.day - listed[1].day if len(listed) > 1 else 0
        if wait > 0:
            text = f"{title} waits {wait} d for {hold.text(found)}"
            tried = _tried(found, key, hold, remedies, day - 1)
            yield Clash(text, "for information", _tasks(found, key, hold), tried)


def _after_others(found: Schedule, each: Launching) -> int:
    """Return the first day that a launch's own dates and the flights before it allow."""
    ends = (found.solved.launches[x] + found.asked[x].duration for x in each.after)
    return max([each.earliest, *ends])


def _missed(found: Schedule, key: str, missed: list[tuple[int, int]], remedies: bool) -> Clash:
    day, hold = found.solved.launches[key], holds(found, key)[0]
    opens = max((a for a, b in found.asked[key].told if a <= day), default=day)
    many = f"{len(missed)} windows, the last of them" if len(missed) > 1 else "the window"
    text = f"{found.programme.title(key)} misses {many} of {found.day(missed[-1][0])}: "
    text += f"{hold.text(found)} lets it go on {found.day(hold.day)}; it lifts off in that of "
    text += f"{found.day(opens)}, {opens - missed[-1][0]} d after the one missed"
    tried = _tried(found, key, hold, remedies, missed[-1][1])
    return Clash(text, "needs a decision", _tasks(found, key, hold), tried)


def _tried(found: Schedule, key: str, hold: Hold, remedies: bool, wanted: int) -> tuple:
    return for_hold(found, key, hold, wanted) if remedies else ()


def _tasks(found: Schedule, key: str, hold: Hold) -> tuple[str, ...]:
    """Return the tasks between which a clash lies."""
    if hold.kind == "element":
        kinds: tuple[str, ...] = ("build",)
        before = [x for x in found.tasks if (x.mission, x.element) == (key, hold.name)]
    elif hold.kind in ("pad", "team"):
        kinds = ("turnaround", "recovery")
        before = [x for x in found.tasks if (x.mission, x.resource) == (hold.by, hold.name)]
    else:
        kinds = ("deliver", "flight", "test flight")
        keys = (f"deliver:{hold.name}", f"flight:{hold.by}", f"flight:{hold.name}")
        before = [x for x in found.tasks if x.key in keys]
    there = [x.key for x in found.tasks if x.key == f"flight:{key}"]
    return (*(x.key for x in before if x.kind in kinds), *there)


def _budget(found: Schedule, remedies: bool) -> Iterator[Clash]:
    """Yield the years in which more is spent than may be."""
    spent, currency = by_year(found.costs), found.programme.currency
    over = {
        int(year): spent.get(int(year), 0.0) - may
        for year, may in found.programme.budget.items()
        if spent.get(int(year), 0.0) > may
    }
    for year, excess in sorted(over.items()):
        may = found.programme.budget[str(year)] / 1e6
        text = (
            f"{year} costs {spent[year] / 1e6:,.1f} M {currency}, {excess / 1e6:,.1f} M more than "
        )
        text += f"its budget, {may:,.1f} M"
        keys = tuple(
            x.key for x in found.tasks if x.kind == "build" and x.begins.year <= year <= x.ends.year
        )
        tried = for_budget(found, year) if remedies else ()
        yield Clash(text, "needs a decision", keys, tried)
