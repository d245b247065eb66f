"""What a launch waits for: units, pad, crew, control team, flights before it, each with its day."""

from __future__ import annotations

from typing import Literal, NamedTuple

from mplan.programme.launching import Launching, end
from mplan.programme.production import engine_ready, line_opens, whole_days
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
        users = drawn(found.programme, found.asked, found.solved, name)
        unit = next(unit for launch, unit in users if launch.key == key)
        listed.append(_supplied(found, name, unit.ready + each.lead(name), unit.begins))
    for kind in ("pad", "crew", "team"):
        if (held := _before(found, each, kind)) is not None:
            listed.append(held)
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


def _before(found: Schedule, each: Launching, kind: Literal["pad", "crew", "team"]) -> Hold | None:
    """Return the hold of what others have before; of a crew, its training counts."""
    name, day = getattr(each, kind), found.solved.launches[each.key]
    if name is None:
        return None
    beginner = each.key in found.solved.beginners
    training = each.first_training if beginner else each.training
    lead = {"pad": each.stacking, "crew": training, "team": 0}[kind]
    earlier = [
        (end(x, kind, found.solved.launches[x.key]), x.key)
        for x in found.asked.values()
        if getattr(x, kind) == name and found.solved.launches[x.key] < day
    ]
    free, by = max(earlier, default=(0, ""))
    return Hold(max(free, 0) + lead, kind, name, by if free > 0 else "")
