"""What many missions tell: how likely each thing holds, how figures scatter, what drives them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from mplan.checks.burns import ROUNDING
from mplan.flight.record import Flight
from mplan.plan import Plan
from mplan.scenario.dispersions.scattered import built
from mplan.scenario.wording import plain
from mplan.studies.odds import drivers, outcome
from mplan.studies.odds.chances import Probability, lower_bound
from mplan.studies.odds.drivers import Driven
from mplan.studies.odds.store import Store

SURE = 0.99  # of all missions that the propellant to carry serves
QUANTILES = (0.01, 0.5, 0.99)
CONSTANT = 1e-9  # of a figure, that rounding may move it by


@dataclass(frozen=True)
class ScatteredFigure:
    """A figure of all missions: as planned, at the `QUANTILES` of those that have it, its spread.

    `name` has its unit in brackets; what is left up to a limit is negative beyond it.
    """

    name: str
    planned: float
    quantiles: tuple[float, ...]
    deviation: float

    @property
    def scatters(self) -> bool:
        """Whether it differs from mission to mission."""
        return self.deviation > CONSTANT * max(1.0, abs(self.planned))


@dataclass(frozen=True)
class BurnOdds:
    """A burn: how likely it has its propellant, and how likely its reserve is left untouched.

    `reserve` [m/s] is what the margin policy keeps back in the plan.
    """

    name: str
    left: ScatteredFigure
    reserve: float
    flown: Probability
    untouched: Probability


@dataclass(frozen=True)
class LimitOdds:
    """A figure with a limit, and how likely the limit holds."""

    left: ScatteredFigure
    holds: Probability


@dataclass(frozen=True)
class TankNeed:
    """A tank from which burns are flown: its `load` [kg], and what missions leave in it.

    `bound` [kg] is what at least 99 % of all missions leave, with 95 % confidence (`lower_bound`);
    `carry` the load less that: what to carry for 99 %, to first order, for a heavier load
    takes propellant itself, and a lighter one less. None where there are too few missions.
    """

    element: str
    tank: str
    load: float
    left: ScatteredFigure
    bound: float | None

    @property
    def carry(self) -> float | None:
        """What to carry for 99 % [kg]."""
        return None if self.bound is None else self.load - self.bound


@dataclass(frozen=True)
class Odds:
    """Missions of a plan, counted: `asked` of them were to be flown, `flown` are.

    `holds` counts those that were flown and that nothing stops, `untouched` those of them that use
    no reserve of a burn. `standing` are findings that stop the plan whatever is drawn: then no
    mission holds. `ended` and `stops` count missions by how they ended and what stops them.
    """

    mission: str
    scenario: str  # its hash
    seed: int
    asked: int
    flown: int
    holds: Probability
    untouched: Probability
    burns: tuple[BurnOdds, ...]
    limits: tuple[LimitOdds, ...]
    tanks: tuple[TankNeed, ...]
    figures: tuple[ScatteredFigure, ...]
    ended: Mapping[str, int]
    stops: Mapping[str, int]
    standing: tuple[str, ...]
    driven: tuple[Driven, ...]
    drawn: tuple[str, ...]

    @property
    def stopped(self) -> bool:
        """Whether it was stopped before all were flown."""
        return self.flown < self.asked


@dataclass(frozen=True)
class Planned:
    """What the missions are held against: the plan's own figures, reserves and loads."""

    plan: Plan
    figures: Mapping[str, float]
    reserves: Mapping[str, float]  # m/s, by burn
    standing: tuple[str, ...]

    @property
    def names(self) -> tuple[str, ...]:
        """The names of the figures that are kept of each mission."""
        return tuple(self.figures)


def planned(plan: Plan) -> Planned:
    """Return what the missions of a plan are held against."""
    flight = plan.flight
    burns = outcome.ended_on(flight)
    reserves = {name: x.reserved for name, x in burns.items()}
    return Planned(plan, outcome.figures_of(flight), reserves, outcome.standing(plan))


def of(held: Planned, store: Store, drawn: np.ndarray, titles: Sequence[str], seed: int) -> Odds:
    """Return what the missions in a store tell; `drawn` are the numbers of all that were asked."""
    numbers = sorted(store.numbers())
    columns = {name: store.column(i) for i, name in enumerate(held.names)}
    stops = _counted(store.counted("stops"))
    ended = store.counted("ended")
    good = store.holding(outcome.FLOWN) & (not held.standing)
    burns = tuple(_burns(held, columns))
    unused = good.copy()
    for name, reserve in held.reserves.items():
        unused &= columns[outcome.left_after(name)] >= reserve - ROUNDING
    return Odds(
        mission=held.plan.scenario.mission.name,
        scenario=held.plan.scenario.hash,
        seed=seed,
        asked=len(drawn),
        flown=len(numbers),
        holds=Probability(int(good.sum()), len(numbers)),
        untouched=Probability(int(unused.sum()), len(numbers)),
        burns=burns,
        limits=tuple(_limits(held, columns)),
        tanks=tuple(_tanks(held, columns)),
        figures=tuple(_figure(held, x, columns[x]) for x in columns if x in _others(held)),
        ended=ended,
        stops=stops,
        standing=held.standing,
        driven=tuple(_driven(held, columns, drawn[numbers], titles)),
        drawn=tuple(titles),
    )


def _counted(texts: Mapping[str, int]) -> dict[str, int]:
    """Return how many missions each thing stops, from counts of what stops them together."""
    found: dict[str, int] = {}
    for text, count in texts.items():
        for each in text.split("; ") if text else ():
            found[each] = found.get(each, 0) + count
    return dict(sorted(found.items(), key=lambda each: (-each[1], each[0])))


def _figure(held: Planned, name: str, values: np.ndarray) -> ScatteredFigure:
    known = values[np.isfinite(values)]
    if not len(known):
        nothing = float("nan")
        return ScatteredFigure(name, held.figures[name], (nothing,) * len(QUANTILES), nothing)
    found = tuple(float(x) for x in np.quantile(known, QUANTILES))
    return ScatteredFigure(name, held.figures[name], found, float(known.std()))


def _burns(held: Planned, columns: Mapping[str, np.ndarray]) -> Iterator[BurnOdds]:
    for name, reserve in held.reserves.items():
        column = outcome.left_after(name)
        left = columns[column]
        yield BurnOdds(
            name=name,
            left=_figure(held, column, left),
            reserve=reserve,
            flown=Probability(int((left >= -ROUNDING).sum()), len(left)),
            untouched=Probability(int((left >= reserve - ROUNDING).sum()), len(left)),
        )


def _limit_names(flight: Flight) -> list[str]:
    return [outcome.limit_named(x) for x in outcome.limits(flight) if x.left is not None]


def _limits(held: Planned, columns: Mapping[str, np.ndarray]) -> Iterator[LimitOdds]:
    for name in dict.fromkeys(_limit_names(held.plan.flight)):
        left = columns[name]
        yield LimitOdds(_figure(held, name, left), Probability(int((left >= 0.0).sum()), len(left)))


def _tanks(held: Planned, columns: Mapping[str, np.ndarray]) -> Iterator[TankNeed]:
    """Yield the tanks of elements that do not burn out by plan; a mission cut short lacks all."""
    scenario = held.plan.scenario
    for element in built(scenario):
        for tank, holds in scenario.elements[element].tanks.items():
            name = outcome.in_tank((element, tank))
            if name in columns:
                left = _figure(held, name, columns[name])
                bound = _bound(columns[name])
                yield TankNeed(plain(element), plain(tank), holds.load, left, bound)


def _bound(left: np.ndarray) -> float | None:
    """Return what 99 % leave; None where more than a hundredth do not come so far at all."""
    bound = lower_bound(np.where(np.isfinite(left), left, -np.inf), SURE)
    return None if bound == -np.inf else bound


def _others(held: Planned) -> set[str]:
    told = {outcome.left_after(x) for x in held.reserves} | set(_limit_names(held.plan.flight))
    return {x for x in held.figures if x not in told and not x.startswith(outcome.LEFT_OF)}


def _driven(
    held: Planned, columns: Mapping[str, np.ndarray], drawn: np.ndarray, titles: Sequence[str]
) -> Iterator[Driven]:
    burns = {outcome.left_after(x): columns[outcome.left_after(x)] for x in _ends(held)}
    limited = {
        name: columns[name]
        for name in dict.fromkeys(_limit_names(held.plan.flight))
        if not (columns[name] >= 0.0).all()
    }
    return drivers.of(drawn, titles, {**burns, **limited})


def _ends(held: Planned) -> list[str]:
    """Return the burns on which an engine ends: what is left before is not all its own."""
    burns = outcome.ended_on(held.plan.flight)
    return list({(x.element, x.engine): name for name, x in burns.items()}.values())
