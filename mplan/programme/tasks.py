"""The tasks of a schedule that is solved: when each begins and what it follows."""

from __future__ import annotations

from itertools import pairwise

from mplan.programme import production
from mplan.programme.entries import Task, TaskKind
from mplan.programme.launching import Draw, Launching, LiftOff
from mplan.programme.money import whole_days
from mplan.programme.production import Unit
from mplan.programme.programme import Programme
from mplan.programme.searching.solving import SolvedDays
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
) -> list[tuple[Launching, Draw, Unit]]:
    """Return which launch takes which unit of an element: the first ready to the first needed."""

    def day(user: tuple[Launching, Draw]) -> int:
        return solved.launches[user[0].key] - user[1].lead

    users = [(x, draw) for x in asked.values() if not x.flown for draw in x.drawn(element)]
    users.sort(key=day)
    units = production.units(programme, element, len(users))
    needed = [day(user) for user in users]
    if programme.builds == "late":
        new = [i for i, unit in enumerate(units) if not unit.stated]
        late = production.latest(programme, element, [needed[i] for i in new])
        for i, begins in zip(new, late, strict=True):
            begins = max(begins, units[i].begins or 0)
            takes = units[i].ready - (units[i].begins or 0)
            units[i] = Unit(begins, begins + takes, stated=False)
    return [(*user, unit) for user, unit in zip(users, units, strict=True)]


def _still_held(each: Launching) -> bool:
    """Whether a launch that is flown still takes up its pad, crew or team."""
    return (each.day or 0) + max(held.ends for held in each.spans(0)) > 0


def _for_elements(
    net: TaskNetwork, asked: dict[str, Launching], solved: SolvedDays, elements: tuple[str, ...]
) -> None:
    """Add development, qualification and first delivery of what is yet to be built."""
    programme = net.programme
    for name in elements:
        supply = programme.elements[name]
        if all(unit.stated for *_, unit in drawn(programme, asked, solved, name)):
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
    """Add what surrounds the lift-offs of one mission: pads, training, flight, recovery."""
    key, title = each.key, net.programme.title(each.key)
    before: list[str] = []
    for lift_off in each.lift_offs if not each.flown else ():
        before += _prepared(net, each, lift_off, day)
    if not each.flown and each.crew:
        training = each.first_training if beginner else each.training
        name, begins = f"{title}: training", day - training
        before.append(
            net.add(
                f"train:{key}", "train", name, begins, training, mission=key, resource=each.crew
            )
        )
    kind: TaskKind = "flight" if key in net.programme.missions else "test flight"
    flight = net.add(
        f"flight:{key}",
        kind,
        title,
        day,
        each.duration,
        tuple(before),
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
    for lift_off in each.lift_offs:
        _turned(net, each, lift_off, day)
    if not each.flown:
        net.releases[flight] = each.earliest


def _named(each: Launching, lift_off: LiftOff, kind: str) -> str:
    """Return the key of a task of one lift-off."""
    return f"{kind}:{each.key}" + (f":{lift_off.ship}" if lift_off.ship else "")


def _called(net: TaskNetwork, each: Launching, lift_off: LiftOff) -> str:
    """Return what people call a mission, or one of its ships."""
    title = net.programme.title(each.key)
    return f"{title}, {plain(lift_off.ship)}" if lift_off.ship else title


def _prepared(net: TaskNetwork, each: Launching, lift_off: LiftOff, day: int) -> tuple[str, ...]:
    """Add the time on the pad, and for a ship sent ahead that until the mission's day."""
    key, called = each.key, _called(net, each, lift_off)
    leaves = day - lift_off.ahead
    stack = net.add(
        _named(each, lift_off, "stack"),
        "stack",
        f"{called}: on the pad",
        leaves - lift_off.stacking,
        lift_off.stacking,
        mission=key,
        resource=lift_off.pad,
    )
    ahead = net.add(
        _named(each, lift_off, "ahead"),
        "ahead",
        f"{called}: flies ahead",
        leaves,
        lift_off.ahead,
        (stack,),
        mission=key,
        resource=each.team,
    )
    return (ahead or stack,)


def _turned(net: TaskNetwork, each: Launching, lift_off: LiftOff, day: int) -> None:
    """Add the turnaround of a pad, from the lift-off on."""
    turnaround = net.add(
        _named(each, lift_off, "turnaround"),
        "turnaround",
        f"{_called(net, each, lift_off)}: pad turnaround",
        day - lift_off.ahead,
        lift_off.turnaround,
        mission=each.key,
        resource=lift_off.pad,
        stated=each.flown,
    )
    left = _there(net, (_named(each, lift_off, "ahead"), f"flight:{each.key}"))
    if turnaround:
        net.link(left, turnaround, 0)


def _there(net: TaskNetwork, keys: tuple[str, ...]) -> str:
    """Return the first of these tasks that there is."""
    return next(key for key in keys if key in net.titles)


def _supplied(net: TaskNetwork, asked: dict[str, Launching], solved: SolvedDays) -> None:
    """Add builds and shipments, each line's units in order."""
    programme = net.programme
    for name, supply in programme.elements.items():
        built, before = 0, ""
        engines = tuple(f"deliver:{engine}" for engine in supply.engines)
        qualified = tuple(f"qualify:{engine}" for engine in supply.engines)
        for launch, draw, unit in drawn(programme, asked, solved, name):
            key, called = launch.key, plain(draw.name).capitalize()
            title = f"{called} of {programme.title(key)}"
            build = ""
            if unit.begins is not None:
                ahead = () if unit.stated else (f"develop:{name}", *qualified, *engines)
                build = net.add(
                    f"build:{key}:{draw.name}",
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
            takes = draw.shipping
            begins = solved.launches[key] - draw.lead
            ship = net.add(
                f"ship:{key}:{draw.name}",
                "ship",
                f"{title}: to the pad",
                begins,
                takes,
                (build,),
                mission=key,
                element=name,
            )
            lifted = f":{draw.ship}" if draw.ship else ""
            steps = (f"stack:{key}{lifted}", f"ahead:{key}{lifted}", f"flight:{key}")
            net.link(ship or build, _there(net, steps))


def _ordered(net: TaskNetwork, asked: dict[str, Launching]) -> None:
    """Link launches that follow by precedence, and what takes up a pad, crew or team in turn."""
    here = [x for x in asked.values() if f"flight:{x.key}" in net.titles]
    for each in here:
        for earlier in each.after:
            if f"flight:{earlier}" in net.titles:
                net.link(f"flight:{earlier}", f"flight:{each.key}")

    turns: dict[tuple[str, str], list[tuple[str, str]]] = {}
    for each in here:
        flight = f"flight:{each.key}"
        for x in each.lift_offs:
            first, ahead, last = (
                _named(each, x, kind) for kind in ("stack", "ahead", "turnaround")
            )
            pad = _there(net, (first, ahead, flight)), _there(net, (last, ahead, flight))
            turns.setdefault(("pad", x.pad), []).append(pad)
        crew = _there(net, (f"train:{each.key}", flight)), flight
        turns.setdefault(("crew", each.crew or ""), []).append(crew)
        earliest = max(each.lift_offs, key=lambda x: x.ahead)
        up = _there(net, (_named(each, earliest, "ahead"), flight))
        down = _there(net, (f"recovery:{each.key}", flight))
        turns.setdefault(("team", each.team), []).append((up, down))
    for drill, table in net.programme.rehearsals.items():
        if (task := f"rehearse:{drill}") in net.titles:
            turns.setdefault(("team", table.control_team), []).append((task, task))
    for (_, name), used in turns.items():
        used.sort(key=lambda pair: net.begins[pair[0]])
        for (_, last), (first, _) in pairwise(used):
            if name and last != first:
                net.link(last, first)
