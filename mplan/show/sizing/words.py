"""A sizing in sentences: what was found, what was searched, what stands in the way."""

from __future__ import annotations

from collections.abc import Iterator

from mplan.studies.sizing import BASIS, Sizing

KEY = (
    "Each figure was flown. A limit that holds a key: the mission with one per cent less of it (or "
    "more, where that would pay), all else kept. Worth: what would be saved if the limit gave way "
    f"by one unit, by slopes that were flown. Estimate: {BASIS}."
)
NONE = "nothing that was flown of what is freed closes"


def told(found: Sizing) -> list[str]:
    """Return what was found, from how much to how much, and how it was searched."""
    name, title = found.scenario.mission.name, found.measure.title
    return [_verdict(found, name, title), _search(found), *_outside(found), *_conflict(found)]


def _verdict(found: Sizing, name: str, title: str) -> str:
    before = found.measure.shown(found.value_before)
    if found.value_after is None:
        none = "ended before any plan was flown" if _cut_short(found) else NONE
        stands = ", which closes" if _closes(found) else ""
        return f"{name}: {none}; {title} {before} as it stands{stands}"
    after, less = found.measure.shown(found.value_after), found.value_before - found.value_after
    stands = "" if _closes(found) else ", which does not close"
    if found.measure.shown(abs(less)) == found.measure.shown(0.0):
        return f"{name}: least {title} found {after}, as it stands{stands}"
    change = f"{found.measure.shown(abs(less))} {'less' if less >= 0.0 else 'more'}"
    return f"{name}: least {title} found {after}, {change} than as it stands ({before}{stands})"


def _cut_short(found: Sizing) -> bool:
    """Tell whether the search ended before the first plan of what is freed was flown."""
    return found.after is None and bool(found.ended)


def _closes(found: Sizing) -> bool:
    """Tell whether the scenario closes as it stands, with what is asked of the least."""
    return bool(found.before and found.before.closes)


def _search(found: Sizing) -> str:
    """Return what was searched, in how many flights, and from how many places."""
    said = [f"{found.flights} flight{'s' * (found.flights != 1)}"]
    count = len(found.searched)
    if count > 1:
        flown = sum(each.flights > 0 for each in found.searched)
        rest = "" if flown == count or found.ended else ", the rest cannot be less"
        said.append(f"{flown} of {count} combinations flown{rest}")
    if len(found.starts) > 1 and any(found.starts):
        said.append(_starts(found))
    if found.ended:
        said.append(f"the search ended early: {found.ended}")
    return f"Searched: {'; '.join(said)}. No search proves that there is nothing less."


def _starts(found: Sizing) -> str:
    known = [each for each in found.starts if each is not None]
    count = f"{len(known)} of {len(found.starts)} starts lead to a plan that closes"
    if len(known) < 2:
        return count
    apart = (max(known) - min(known)) / min(known)
    if apart < 1e-4:
        return f"{len(known)} of {len(found.starts)} starts lead to the same least"
    return f"{count}, {100.0 * apart:.2g} % apart"


def _outside(found: Sizing) -> Iterator[str]:
    """Yield what is freed within a range that leaves out what the scenario has."""
    for each in found.freed:
        now = each.now
        if isinstance(now, int | float) and not (each.options or each.low <= now <= each.high):
            ends = f"{each.written(each.low)} to {each.written(each.high)}"
            yield f"{each.key}: {each.written(now)} as it stands, outside what is freed, {ends}"


def _conflict(found: Sizing) -> Iterator[str]:
    """Yield which limits are in each other's way, where nothing closes."""
    if found.closes or _cut_short(found):
        return
    if found.after is None:
        said = dict.fromkeys(x.outcome.removeprefix("not flown: ") for x in found.searched)
        yield f"Nothing flew: {'; '.join(said)}"
        return
    if found.after.closes:
        many = found.after.decisions_open
        yield (
            f"The nearest plan closes and leaves {many} decision{'s' * (many > 1)} open: "
            "--accept-decisions takes such plans, [severity] accepts one for good."
        )
    for room in found.conflict:
        what = "key" if len(found.searched) == 1 else "range"
        fixed = f" (no freed {what} moves it)" if room.name in found.unmoved else ""
        yield f"Nearest to closing: {room.name}, {room.said}{fixed}"
    if found.active:
        against = "; ".join(f"{each.room.name}, {each.room.said} left" for each in found.active)
        yield f"Against it: {against}"
    ends = [f"{x.freed.key} at {x.after}" for x in found.keys if _at_an_end(x.freed, x.value)]
    if ends:
        yield f"At the ends of what is freed: {'; '.join(ends)}"


def _at_an_end(freed: object, value: object) -> bool:
    low, high = getattr(freed, "low", 0.0), getattr(freed, "high", 0.0)
    if isinstance(value, str | bool) or low == high or not isinstance(value, int | float):
        return False
    return min(value - low, high - value) <= 1e-4 * (high - low)
