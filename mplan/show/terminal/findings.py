"""The findings on a terminal: the gravest first, those of one kind together, what follows last."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rich.console import Group
from rich.text import Text

from mplan.checks.finding import Finding
from mplan.scenario.wording import plain

_STYLES = {
    "stops the flight": "bold red",
    "needs a decision": "yellow",
    "for information": "cyan",
}
_TOLD = 6  # of the findings in one line; the others are counted


def listed(found: Sequence[Finding], *, every: bool) -> Group:
    """Return the findings under their title: one line a kind, or with `every` one a finding.

    What follows from another finding stands below that one.
    """
    lines = [Text("\nFindings", style="bold")]
    if not found:
        lines.append(Text("none: all checks passed"))
    shown = {x.text for x in found}
    for kind in _kinds([x for x in found if x.cause not in shown], every=every):
        lines += _alone(kind[0]) if len(kind) == 1 else _together(kind)
        follow = [x for x in found if x.cause in {each.text for each in kind}]
        lines += _following(follow, every=every)
    return Group(*lines)


def _kinds(found: Sequence[Finding], *, every: bool) -> list[list[Finding]]:
    """Return the findings of one kind together, in the order of the first of each."""
    kinds: dict[tuple[object, ...], list[Finding]] = {}
    for place, each in enumerate(found):
        own = every or not each.together
        key = (place,) if own else (each.severity, each.check, each.together)
        kinds.setdefault(key, []).append(each)
    return list(kinds.values())


def _alone(finding: Finding) -> list[Text]:
    if finding.where:
        return [_head(finding, f"{finding.where}: {finding.text}"), *_remedies(finding)]
    said = f"{finding.text} (limit {finding.limit}, found {finding.found}; basis {finding.basis})"
    return [_head(finding, said), *_remedies(finding)]


def _together(kind: Sequence[Finding]) -> list[Text]:
    """Return findings of one kind in one line, and below it what was flown for each."""
    first = kind[0]
    items = [x.item or f"{plain(x.event)} {x.found}" for x in kind[:_TOLD]]
    if len(kind) > _TOLD:
        items.append(f"{len(kind) - _TOLD} more")
    basis = "; ".join(dict.fromkeys(x.basis for x in kind))
    said = f"{len(kind)} {first.together}: {'; '.join(items)} (basis {basis})"
    return [_head(first, said), *(line for each in kind for line in _remedies(each))]


def _head(finding: Finding, said: str) -> Text:
    return Text.assemble((f"{finding.severity}: ", _STYLES[finding.severity]), said)


def _remedies(finding: Finding) -> Iterator[Text]:
    for each in finding.remedies:
        yield Text(f"  flown: {each.change}: {each.outcome}")
    if finding.unsolved:
        yield Text(f"  {finding.unsolved}")


def _following(found: Sequence[Finding], *, every: bool) -> Iterator[Text]:
    """Yield what follows from a finding: in one line, or with `every` one line each."""
    if every:
        for each in found:
            yield Text(f"  follows from this: {each.severity}: {each.text}")
    elif found:
        names = [f"{x.check} of {plain(x.event)}" for x in found[:_TOLD]]
        more = f", {len(found) - _TOLD} more" if len(found) > _TOLD else ""
        verb = "finding follows" if len(found) == 1 else "findings follow"
        yield Text(f"  {len(found)} {verb} from this: {', '.join(names)}{more}")
