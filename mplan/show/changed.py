"""What differs between a plan and the one it is compared with, in a few words."""

from __future__ import annotations

from collections import Counter

from mplan.comparing import compare, records
from mplan.physics.constants import DAY
from mplan.plan import Plan
from mplan.show.comparing.columns import limit_reads_otherwise
from mplan.show.told import Number, TextDifference

Named = tuple[str, TextDifference]


def headline(plan: Plan, before: Plan) -> list[Named]:
    """Return what differs in the verdict: whether it closes, days, margin, propellant, findings."""
    found = [*_closing(plan, before), *_margin(plan, before)]
    found += [(name, x) for name, x in _sums(plan, before) if x]
    return found + _findings(plan, before)


def _closing(plan: Plan, before: Plan) -> list[Named]:
    if plan.closes == before.closes:
        return []
    text = "closed before" if before.closes else "did not close before"
    return [("", TextDifference(text, text))]


def _margin(plan: Plan, before: Plan) -> list[Named]:
    tight, then = plan.tightest, before.tightest
    if tight is None or then is None:
        return []
    apart = Number(tight.margin, "m/s", 1).since(Number(then.margin, "m/s", 1))
    if apart and tight.name != then.name:
        where = f", was after {then.name}"
        apart = TextDifference(apart.text + where, apart.spoken + where)
    return [("tightest margin", apart)] if apart else []


def _sums(plan: Plan, before: Plan) -> list[tuple[str, TextDifference | None]]:
    days, kilograms = [], []
    for each in (plan, before):
        days.append(Number(each.flight.duration / DAY, "d", 1))
        kilograms.append(Number(sum(x.propellant for x in each.every_burn), "kg"))
    return [
        ("time to the end", days[0].since(days[1])),
        ("propellant of all burns", kilograms[0].since(kilograms[1])),
    ]


def _findings(plan: Plan, before: Plan) -> list[Named]:
    became = Counter[str](x.what for x in records.findings(before, plan))
    words = {"gained": "new", "lost": "gone", "changed": "changed"}
    told = ", ".join(f"{became[what]} {word}" for what, word in words.items() if became[what])
    return [("findings", TextDifference(told, told))] if told else []


def elsewhere(plan: Plan, before: Plan) -> str:
    """Return in words what differs in the whole of two plans, with how many; "" if nothing does."""
    found = compare(before, plan)
    figures = [x.name for x in found.figures if x.differs]
    counts = {
        "date": sum(x.differs for x in found.dates),
        "burn": sum(x.differs for x in found.burns),
        "limit": sum(map(limit_reads_otherwise, found.limits)),
        "event": sum(x.differs for x in found.moments),
    }
    told = [f"{count} {what}{'s' * (count > 1)}" for what, count in counts.items() if count]
    return ", ".join((*figures, *told))
