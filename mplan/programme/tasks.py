"""The tasks of a schedule that is solved: when each begins and what it follows."""

from __future__ import annotations

from itertools import pairwise

from mplan.programme import production
from mplan.programme.entries import Task, TaskKind
from mplan.programme.launching import Launching
from mplan.programme.production import Unit, whole_days
from mplan.programme.programme import Programme
from mplan.programme.solving import SolvedDays
from mplan.programme.task_network import TaskNetwork
from mplan.scenario.wording import plain


def tasks(
    programme: Programme, asked: dict[str, Launching], solved: SolvedDays
) -> tuple[Task, ...]:
    """Return all tasks, in the order of their beginnings."""
    net = TaskNetwork(programme)
    for key, each in asked.items():
        if not each.flown:
            _for_elements(net, asked, solved, each.elements)
        if not each.flown or _still_held(each):
            _flight(net, each, solved.launches[key], key in solved.beginners)
    for key, begins in solved.rehearsals.items():
        drill = programme.rehearsals[key]
        name, takes = f"{plain(key).capitalize()}: rehearsal", whole_days(drill.duration)
        team = drill.control_team
        task = net.add(
            f"rehearse:{key}", "rehearse", name, begins, takes, mission=drill.before, resource=team
        )
        net.link(task, f"flight:{drill.before}")
    _supplied(net, asked, solved)
    _ordered(net, asked)
    return net.floated(asked, solved)


def drawn(
    programme: Programme, asked: dict[str, Launching], solved: SolvedDays, element: str
) -> list[tuple[Launching, Unit]]:
    """Return which launch takes which unit of an element: the first ready to the first stacked."""
    users = [x for x in asked.values() if not x.flown and element in x.elements]
    users.sort(key=lambda x: solved.launches[x.key] - x.lead(element))
    units = production.units(programme, element, len(users))
    needed = [solved.launches[x.key] - x.lead(element) for x in users]
    if programme.builds == "late":
        new = [i for i, unit in enumerate(units) if not unit.stated]
        late = production.latest(programme, element, [needed[i] for i in new])
        for i, begins in zip(new, late, strict=True):
            begins = max(begins, units[i].begins or 0)
            takes = units[i].ready - (units[i].begins or 0)
            units[i] = Unit(begins, begins + takes, stated=False)
    return list(zip(users, units, strict=True))


def _still_held(each: Launching) -> bool:
    """Whether a launch that is flown still takes up its pad, crew or team."""
    assert each.day is not None
    return each.day + max(each.turnaround, each.duration + each.recovery) > 0


def _for_elements(
    net: TaskNetwork, asked: dict[str, Launching], solved: SolvedDays, elements: tuple[str, ...]
) -> None:
    """Add development, qualification and first delivery of what is yet to be built."""
    programme = net.programme
    for name in elements:
        supply = programme.elements[name]
        if all(unit.stated for _, unit in drawn(programme, asked, solved, name)):
            continue
        takes = whole_days(supply.development)
        title = f"{plain(name).capitalize()}: development"
        if f"develop:{name}" not in net.titles:
            net.add(f"develop:{name}", "develop", title, 0, takes, element=name)
        for engine in supply.engines:
            if f"deliver:{engine}" not in net.titles:
                _engine(net, engine)


def _engine(net: TaskNetwork, name: str) -> None:
    each, day, before = net.programme.engines[name], 0, ""
    steps: tuple[tuple[TaskKind, float, str], ...] = (
        ("develop", each.development, "development"),
        ("qualify", each.qualification, "qualification"),
        ("deliver", each.delivery, "first set"),
    )
    for kind, span, what in steps:
        takes, title = whole_days(span), f"{plain(name).capitalize()}: {what}"
        key = f"{kind}:{name}"
        before = net.add(key, kind, title, day, takes, (before,), resource=name) or before
        day += takes


def _flight(net: TaskNetwork, each: Launching, day: int, beginner: bool) -> None:
    """Add what surrounds one lift-off: stack, training, flight, recovery, turnaround."""
    key, title = each.key, net.programme.title(each.key)
    before: tuple[str, ...] = ()
    if not each.flown:
        begins = day - each.stacking
        stack = net.add(
            f"stack:{key}",
            "stack",
            f"{title}: on the pad",
            begins,
            each.stacking,
            mission=key,
            resource=each.pad,
        )
        training = (each.first_training if beginner else each.training) if each.crew else 0
        train = net.add(
            f"train:{key}",
            "train",
            f"{title}: training",
            day - training,
            training,
            mission=key,
            resource=each.crew,
        )
        before = (stack, train)
    kind: TaskKind = "flight" if key in net.programme.missions else "test flight"
    flight = net.add(
        f"flight:{key}",
        kind,
        title,
        day,
        each.duration,
        before,
        resource=each.team,
        mission=key,
        stated=each.flown,
    )
    net.add(
        f"recovery:{key}",
        "recovery",
        f"{title}: team off duty",
        day + each.duration,
        each.recovery,
        (flight,),
        resource=each.team,
        mission=key,
        stated=each.flown,
    )
    turnaround = net.add(
        f"turnaround:{key}",
        "turnaround",
        f"{title}: pad turnaround",
        day,
        each.turnaround,
        resource=each.pad,
        mission=key,
        stated=each.flown,
    )
    if turnaround:
        net.link(flight, turnaround, 0)
    if not each.flown:
        net.releases[flight] = each.earliest


def _supplied(net: TaskNetwork, asked: dict[str, Launching], solved: SolvedDays) -> None:
    """Add builds and shipments, each line's units in order."""
    programme = net.programme
    for name, supply in programme.elements.items():
        built, before = 0, ""
        engines = tuple(f"deliver:{engine}" for engine in supply.engines)
        qualified = tuple(f"qualify:{engine}" for engine in supply.engines)
        for launch, unit in drawn(programme, asked, solved, name):
            key, title = launch.key, f"{plain(name).capitalize()} of {programme.title(launch.key)}"
            build = ""
            if unit.begins is not None:
                ahead = () if unit.stated else (f"develop:{name}", *qualified, *engines)
                build = net.add(
                    f"build:{key}:{name}",
                    "build",
                    title,
                    unit.begins,
                    unit.ready - unit.begins,
                    ahead,
                    mission=key,
                    resource=name,
                    element=name,
                    stated=unit.stated,
                )
            if build and not unit.stated:
                net.releases[build] = production.line_opens(programme, name)
                here = production.spacing(programme, name, built)
                net.link(
                    before, build, here - production.spacing(programme, name, max(0, built - 1))
                )
                built, before = built + 1, build
            takes = whole_days(supply.shipping)
            begins = solved.launches[key] - launch.stacking - takes
            ship = net.add(
                f"ship:{key}:{name}",
                "ship",
                f"{title}: to the pad",
                begins,
                takes,
                (build,),
                mission=key,
                element=name,
            )
            first = f"stack:{key}" if f"stack:{key}" in net.titles else f"flight:{key}"
            net.link(ship or build, first)


def _ordered(net: TaskNetwork, asked: dict[str, Launching]) -> None:
    """Link launches that follow by precedence, and what takes up a pad, crew or team in turn."""
    here = [x for x in asked.values() if f"flight:{x.key}" in net.titles]
    for each in here:
        for earlier in each.after:
            if f"flight:{earlier}" in net.titles:
                net.link(f"flight:{earlier}", f"flight:{each.key}")

    def key(kinds: tuple[str, ...], name: str) -> str:
        return next(x for kind in kinds if (x := f"{kind}:{name}") in net.titles)

    turns: dict[tuple[str, str], list[tuple[str, str]]] = {}
    for each in here:
        pad = key(("stack", "flight"), each.key), key(("turnaround", "flight"), each.key)
        turns.setdefault(("pad", each.pad), []).append(pad)
        crew = key(("train", "flight"), each.key), f"flight:{each.key}"
        turns.setdefault(("crew", each.crew or ""), []).append(crew)
        team = f"flight:{each.key}", key(("recovery", "flight"), each.key)
        turns.setdefault(("team", each.team), []).append(team)
    for drill, table in net.programme.rehearsals.items():
        if (task := f"rehearse:{drill}") in net.titles:
            turns.setdefault(("team", table.control_team), []).append((task, task))
    for (_, name), used in turns.items():
        used.sort(key=lambda pair: net.begins[pair[0]])
        for (_, last), (first, _) in pairwise(used):
            if name and last != first:
                net.link(last, first)
