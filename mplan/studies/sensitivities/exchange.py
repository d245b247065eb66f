"""Exchange ratios: kilograms at lift-off for a kilogram more of an element, all margins kept.

What pays is propellant, with its share of tank: every burn on which an engine ends keeps its
margin by more in the tanks that it draws from, the stages of a climb in the proportion they are
loaded in. How much is solved on the partials of those margins, each from flights; the whole is
then flown and corrected once, and what is left in the margins is told beside the ratio.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from mplan.checks.remedies import weights
from mplan.flight.record import BurnRecord, Flight
from mplan.flight.unflyable import Unflyable
from mplan.plan import Plan
from mplan.scenario import Scenario, ScenarioError
from mplan.studies.executors import often
from mplan.studies.sensitivities import differences, variations
from mplan.studies.sensitivities.differences import Reference
from mplan.studies.sensitivities.variations import Variation
from mplan.vehicle import layout, resize
from mplan.vehicle.ledger import shares

STEP = 0.002  # of what pays, that its partials are flown with


class Payer(NamedTuple):
    """What keeps the margin of a burn: tanks by element, each with its load [kg]."""

    burn: str
    loads: tuple[tuple[str, str, float], ...]  # element, tank, load

    @property
    def load(self) -> float:
        """What all of them hold [kg]."""
        return sum(load for _, _, load in self.loads)


@dataclass(frozen=True)
class Ratio:
    """What a kilogram of an element's stated dry mass takes, in kilograms at lift-off.

    `paid` is the propellant [kg a kg] by the burn whose margin it keeps. The check is the last
    flight: `left` [m/s a kg] is the most by which a margin differs then, `spread` what making
    that good would add. `ratio` is None where it could not be flown; `trouble` says why.
    """

    element: str
    ratio: float | None
    paid: Mapping[str, float]
    left: float
    spread: float
    trouble: str = ""


def payers(flight: Flight) -> list[Payer]:
    """Return what keeps each margin, in the order of the burns.

    A stage that burns out by plan has no margin of its own: it is loaded in proportion with the
    stage above. Where two burns end on the same tanks, the one with less margin counts.
    """
    drawn: dict[tuple[str, str], list[tuple[str, str, float]]] = {}
    below: list[BurnRecord] = []
    for burn in flight.every_burn:
        if burn.burns_out:
            below.append(burn)
            continue
        tanks = [x for each in (*below, burn) for x in _loads(flight.scenario, each)]
        drawn.setdefault((burn.element, burn.engine), []).extend(tanks)
        below = []
    found = [
        (burn, Payer(name, tuple(dict.fromkeys(drawn[burn.element, burn.engine]))))
        for name, burn in differences.ends(flight).items()
    ]
    here = set(variations.built(flight.scenario))
    return _apart([x for x in found if here.issuperset(owner for owner, _, _ in x[1].loads)])


def _apart(found: Sequence[tuple[BurnRecord, Payer]]) -> list[Payer]:
    """Return those that share no tank, the ones with the least margins first served."""
    order = sorted(range(len(found)), key=lambda i: (found[i][0].margin, i))
    kept: dict[int, Payer] = {}
    taken: set[tuple[str, str]] = set()
    for index in order:
        payer = found[index][1]
        tanks = {(element, tank) for element, tank, _ in payer.loads}
        if tanks and not tanks & taken:
            kept[index] = payer
            taken |= tanks
    return [kept[index] for index in sorted(kept)]


def _loads(scenario: Scenario, burn: BurnRecord) -> list[tuple[str, str, float]]:
    """Return the tanks that a burn draws from, and those of what burns beside it."""
    engine = scenario.elements[burn.element].engines[burn.engine]
    owner = engine.crossfeed or burn.element
    own = {tank: scenario.elements[owner].tanks[tank].load for tank in shares(engine)}
    main = layout.main_loads(scenario.elements[owner])
    found = [(owner, tank, load) for tank, load in (main if set(own) <= set(main) else own).items()]
    for name in _beside(scenario, burn):
        loads = layout.main_loads(scenario.elements[name])
        found += [(name, tank, load) for tank, load in loads.items()]
    return found


def _beside(scenario: Scenario, burn: BurnRecord) -> tuple[str, ...]:
    """Return what burns beside a burn; of the stages of all ships."""
    events = (x for each in (*scenario.views.values(), scenario) for x in each.events)
    mine = (x for x in events if x.do == "burn" and x.element == burn.element and x.beside)
    return next((x.beside for x in mine), ())


def asked(plan: Plan, names: Collection[str] | None = None) -> list[Variation]:
    """Return what `of` flies: dry masses of the elements that the mission builds, or of `names`.

    [] for a flight that ends before its splash, or where no margin can be kept.
    """
    if plan.flight.ended or not payers(plan.flight):
        return []
    masses = [x for x in variations.of(plan.scenario) if x.kind == "dry mass"]
    return [x for x in masses if names is None or x.path[0] in names]


def of(
    plan: Plan,
    names: Collection[str] | None = None,
    *,
    done: Callable[[int, int], None] = lambda done, total: None,
    stopped: Callable[[], bool] = lambda: False,
) -> list[Ratio]:
    """Return the ratio of each element that is `asked`.

    `done` is told how many of how many steps are flown, and `stopped` asked after each whether to
    leave the rest, as Ctrl-C does too; what is left unflown is left out.
    """
    found: list[Ratio] = []
    often.begin()
    with suppress(KeyboardInterrupt):  # what was flown is kept
        found.extend(_flown(plan, asked(plan, names), done, stopped))
    return found


def _flown(
    plan: Plan,
    elements: Sequence[Variation],
    done: Callable[[int, int], None],
    stopped: Callable[[], bool],
) -> Iterator[Ratio]:
    """Yield a ratio after another, once the partials of what pays are flown."""
    if not elements:
        return
    paying, start = payers(plan.flight), differences.reference(plan)
    total, columns = len(paying) + len(elements), list[np.ndarray]()
    for payer in paying:
        try:
            columns.append(_partials(start, paying, payer))
        except (Unflyable, ScenarioError) as problem:
            yield from (_without(each, _why(problem)) for each in elements)
            return
        done(len(columns), total)
        if stopped():
            return
    kept = _Kept(start, paying, np.column_stack(columns), _margins(plan.flight, paying))
    for count, each in enumerate(elements, len(columns) + 1):
        yield kept.ratio(each)
        done(count, total)
        if stopped():
            return


def _why(problem: Exception) -> str:
    return problem.problems[0].text if isinstance(problem, ScenarioError) else str(problem)


def _without(each: Variation, trouble: str) -> Ratio:
    return Ratio(each.path[0], None, {}, 0.0, 0.0, trouble)


def _margins(flight: Flight, paying: Sequence[Payer]) -> np.ndarray:
    """Return the margins [m/s] that are to be kept; Unflyable where a burn is not flown."""
    found = differences.margins(flight)
    if flight.ended or any(x.burn not in found for x in paying):
        raise Unflyable((), "the changed mission has other burns, or ends early")
    return np.array([found[x.burn] for x in paying])


def _partials(start: Reference, paying: Sequence[Payer], payer: Payer) -> np.ndarray:
    """Return what a kilogram in a payer's tanks does to each margin [m/s a kg], either way."""
    step = STEP * payer.load
    up, down = (
        _margins(start.fly(paid(start.scenario, [(payer, x)])), paying) for x in (step, -step)
    )
    return (up - down) / (2.0 * step)


def paid(scenario: Scenario, amounts: Sequence[tuple[Payer, float]]) -> Scenario:
    """Return the scenario with so much more propellant [kg] of each payer, tanks weighed with it.

    Lengths follow the tanks of main engines.
    """
    for payer, kilograms in amounts:
        factor = 1.0 + kilograms / payer.load
        for name in dict.fromkeys(element for element, _, _ in payer.loads):
            scenario = scenario.change(_filled(scenario, payer, name, factor))
    return scenario


def _filled(scenario: Scenario, payer: Payer, name: str, factor: float) -> dict[str, str]:
    element = scenario.elements[name]
    loads = {tank: load for owner, tank, load in payer.loads if owner == name}
    values = {f"elements.{name}.tanks.{k}.load": f"{x * factor} kg" for k, x in loads.items()}
    if loads == layout.main_loads(element):
        values = resize.changes(element, name, factor)
    tank_mass = weights.tanks(element, {k: x * (factor - 1.0) for k, x in loads.items()})
    return values | {f"elements.{name}.dry_mass": f"{element.dry_mass + tank_mass} kg"}


class _Kept(NamedTuple):
    """The margins to be kept, and what the payers do to them."""

    start: Reference
    paying: Sequence[Payer]
    partials: np.ndarray  # m/s a kg: a row a margin, a column a payer
    margins: np.ndarray

    def ratio(self, variation: Variation) -> Ratio:
        """Return the ratio of one element: solved, flown, corrected, flown again."""
        kilograms, amounts = variation.step, np.zeros(len(self.paying))
        heavier = variations.varied(self.start.scenario, variation, kilograms)
        try:
            for _ in range(3):  # unpaid; paid by the partials; paid with what that left
                asked = paid(heavier, list(zip(self.paying, amounts.tolist(), strict=True)))
                off = _margins(self.start.fly(asked), self.paying) - self.margins
                last = np.linalg.solve(self.partials, off)
                flown, amounts = amounts, amounts - last
        except (Unflyable, ScenarioError) as problem:
            return _without(variation, _why(problem))
        except np.linalg.LinAlgError:
            return _without(variation, "no propellant keeps all margins")
        more = differences.lift_off(asked) - differences.lift_off(self.start.scenario)
        each = (flown / kilograms).tolist()
        return Ratio(
            variation.path[0],
            more / kilograms,
            {x.burn: kg for x, kg in zip(self.paying, each, strict=True)},
            float(np.max(np.abs(off))) / kilograms,
            float(np.sum(np.abs(last))) / kilograms,
        )
