"""What a launch waits for: units, pad, crew, control team, flights before it, each with its day."""

from __future__ import annotations

from typing import Literal, NamedTuple, cast

from mplan.programme.launching import Held, Launching
from mplan.programme.money import whole_days
from mplan.programme.production import engine_ready, line_opens
from mplan.programme.schedule import Schedule
from mplan.programme.tasks import drawn
from mplan.scenario.wording import plain

HoldKind = Literal["element", "engine", "pad", "crew", "team", "flight", "date"]


class Hold(NamedTuple):
    """The first day [from today] on which one thing lets a launch go; `by` is who has it before."""

    day: int
    kind: HoldKind
    name: str
    by: str

    def text(self, found: Schedule) -> str:
        """Return what it is, in words."""
        after = f" after {found.programme.title(self.by)}" if self.by else ""
        match self.kind:
            case "element":
                return f"the {plain(self.name)} that is built for it"
            case "engine":
                return f"the first set of the engine {plain(self.name)}"
            case "pad":
                return f"the turnaround of pad {self.name}{after}"
            case "crew":
                return f"the training of crew {self.name}{after}"
            case "team":
                return f"control team {self.name}{after}"
            case "flight":
                return f"the end of {found.programme.title(self.name)}"
            case "date":
                return "its hardware or its earliest day, as stated"


def holds(found: Schedule, key: str) -> list[Hold]:
    """Return what holds a launch, the last to let it go first."""
    each, listed = found.asked[key], []
    for name in each.elements:
        for launch, draw, unit in drawn(found.programme, found.asked, found.solved, name):
            if launch.key == key:
                listed.append(_supplied(found, name, unit.ready + draw.lead, unit.begins))
    training = each.first_training if key in found.solved.beginners else each.training
    listed += [_before(found, each, held) for held in each.spans(training)]
    for name in each.after:
        day = found.solved.launches[name] + found.asked[name].duration
        listed.append(Hold(day, "flight", name, ""))
    listed.append(Hold(each.earliest, "date", key, ""))
    return sorted(listed, key=lambda hold: -hold.day)


def _supplied(found: Schedule, element: str, day: int, begins: int | None) -> Hold:
    """Return the hold of a unit: of its engine, where the line waits for that alone."""
    programme = found.programme
    supply = programme.elements[element]
    opens = line_opens(programme, element)
    if begins == opens and opens > whole_days(supply.development):
        engine = next(x for x in supply.engines if engine_ready(programme, x) == opens)
        return Hold(day, "engine", engine, "")
    return Hold(day, "element", element, "")


def _before(found: Schedule, each: Launching, held: Held) -> Hold:
    """Return the hold of what others have before; of a crew, its training counts."""
    day = found.solved.launches[each.key]
    earlier = [
        (other.ends + found.solved.launches[x.key], x.key)
        for x in found.asked.values()
        if found.solved.launches[x.key] < day
        for other in x.spans(0)
        if (other.kind, other.name) == (held.kind, held.name)
    ]
    free, by = max(earlier, default=(0, ""))
    kind = cast(HoldKind, held.kind)
    return Hold(max(free, 0) - held.begins, kind, held.name, by if free > 0 else "")
