"""When each launch lifts off: a first guess, then a constraint model solved by OR-Tools' CP-SAT.

The search begins at the best schedule of many orders that were tried (`improving.py`) and looks
no further than a year past its end; what is better is told by `measure.py`. One worker, a fixed
seed and limits counted in work, not in seconds, give the same schedule each time with one version
of the libraries. How much better one could still be is bounded by the search and by a linear
relaxation (`bounding.py`), whichever is nearer.
"""

from __future__ import annotations

from collections.abc import Iterable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from mplan.programme.launching import Launching
from mplan.programme.money import whole_days
from mplan.programme.production import units
from mplan.programme.programme import Programme
from mplan.programme.searching.bounding import relaxed
from mplan.programme.searching.improving import improved
from mplan.programme.searching.measure import GRAIN, LATE, OUTSIDE
from mplan.programme.searching.placing import PlacedLaunches, Placing
from mplan.scenario.dates import LAST_DAY
from mplan.scenario.problems import Problem, ScenarioError

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

# Of the solver's deterministic time, under a second of an idle core; more while nothing is found.
EFFORTS = (0.2, 1.6, 16.0)
BEYOND = 366  # days past the end of the first guess: what is searched; own choice


@dataclass(frozen=True)
class SolvedDays:
    """Lift-offs and rehearsals in days from today; whose crew trains for the first time.

    `freed` has launches whose stated days could not be held; `gap` [d] bounds what is left to save.
    """

    launches: dict[str, int]
    rehearsals: dict[str, int]
    beginners: frozenset[str]
    proven: bool
    gap: float
    freed: frozenset[str] = frozenset()


def solve(programme: Programme, asked: dict[str, Launching]) -> SolvedDays:
    """Return the best schedule found; stated days that cannot be held are given up, and told.

    Raises ScenarioError where nothing fits before the ephemeris ends.
    """
    found = _Days(programme, asked).solved()
    stated = frozenset(x.key for x in asked.values() if x.day is not None and not x.flown)
    if found is None and stated:
        found = _Days(programme, {key: _freed(each) for key, each in asked.items()}).solved()
        found = replace(found, freed=stated) if found else None
    if found is None:
        text = f"found no schedule that ends before {LAST_DAY}; accepted: fewer missions, shorter "
        problem = Problem(programme.where(("missions",)), "missions", text + "times, more pads")
        raise ScenarioError([problem])
    return found


def busy_until(asked: Iterable[Launching], kind: str, name: str) -> int:
    """Return until when a pad, crew or team is taken up by launches that are flown; 0 if free."""
    ends = (
        held.ends + (x.day or 0)
        for x in asked
        if x.flown
        for held in x.spans(0)
        if (held.kind, held.name) == (kind, name)
    )
    return max(ends, default=0)


def _freed(each: Launching) -> Launching:
    """Return a launch that may lift off later than the day stated for it."""
    if each.flown or each.day is None:
        return each
    return replace(each, day=None, earliest=max(each.earliest, each.day))


class _Days:
    """The constraints, and what is asked of them."""

    def __init__(self, programme: Programme, asked: dict[str, Launching]) -> None:
        from ortools.sat.python import cp_model

        self.cp = cp_model
        self.model = cp_model.CpModel()
        self.programme, self.asked = programme, asked
        days = relaxed(programme, asked)
        guess = self.guess = improved(Placing(programme, asked), days)
        self.ahead = {key: each for key, each in asked.items() if not each.flown}
        self.least = sum(day for key, day in days.items() if asked[key].day is None)
        last = max(day + asked[key].duration for key, day in guess.launches.items())
        self.horizon = min(last + BEYOND, (LAST_DAY - programme.today).days)
        self.cost: list[Any] = []
        self.launch = {key: self._launch(each) for key, each in self.ahead.items()}
        self.drill = {key: self._drill(key) for key in programme.rehearsals if self._due(key)}
        self.beginner: dict[str, cp_model.IntVar] = {}
        self.steps: dict[str, dict[int, Any]] = {}  # of each launch: on this day or later
        self._precedence()
        for name in programme.pads:
            self._one_at_a_time("pad", name)
        for name in programme.crews:
            self._one_at_a_time("crew", name)
        for name in programme.control_teams:
            self._one_at_a_time("team", name)
        for name in programme.elements:
            self._supply(name)
        self._stepped()
        self._hint(guess)

    def _hint(self, guess: PlacedLaunches) -> None:
        """Let the search begin at a schedule."""
        for key, day in self.launch.items():
            if self.asked[key].day is None:
                self.model.add_hint(day, guess.launches[key])
        for key, begins in self.drill.items():
            self.model.add_hint(begins, guess.rehearsals[key])
        for key, steps in self.steps.items():
            for step, flag in steps.items():
                self.model.add_hint(flag, guess.launches[key] >= step)
        for key, flag in self.beginner.items():
            self.model.add_hint(flag, key in guess.beginners)

    def solved(self) -> SolvedDays | None:
        """Return the solution, or None where there is none."""
        self.model.minimize(sum(self.cost))
        solver = self.cp.CpSolver()
        settings = solver.parameters
        settings.num_workers, settings.random_seed = 1, 0
        # Simplifying the model again and again takes longer than searching it.
        settings.max_presolve_iterations, settings.cp_model_probing_level = 1, 0
        settings.symmetry_level = 0
        settings.catch_sigint_signal = False  # else the next Ctrl-C ends the process or kernel
        status = self.cp.UNKNOWN
        for effort in EFFORTS:
            settings.max_deterministic_time = effort
            status = self._searched(solver)
            if status != self.cp.UNKNOWN:
                break
            if not any(x.day is not None for x in self.ahead.values()):
                return self._guessed(solver.best_objective_bound)
        if status not in (self.cp.OPTIMAL, self.cp.FEASIBLE):
            return None
        launches = {x.key: x.day for x in self.asked.values() if x.flown and x.day is not None}
        launches |= {key: solver.value(x) for key, x in self.launch.items()}
        return SolvedDays(
            {key: launches[key] for key in self.asked},
            {key: solver.value(x) for key, x in self.drill.items()},
            frozenset(key for key, x in self.beginner.items() if solver.value(x)),
            proven=status == self.cp.OPTIMAL,
            gap=self._gap(solver.objective_value, solver.best_objective_bound),
        )

    def _searched(self, solver: cp_model.CpSolver) -> Any:  # noqa: ANN401 (a status of the library)
        """Search in a thread: an interruption is heard meanwhile, and stops it."""
        with ThreadPoolExecutor(1) as aside:
            running = aside.submit(solver.solve, self.model)
            try:
                return running.result()
            except BaseException:
                solver.stop_search()
                raise

    def _gap(self, cost: float, bound: float) -> float:
        """Return how many days a schedule can be better at most than one of this cost [d]."""
        return max(0.0, min(cost - bound, cost - GRAIN * self.least)) / GRAIN

    def _guessed(self, bound: float) -> SolvedDays:
        """Return the first guess, which holds all that is asked where no day is stated."""
        guess = self.guess
        return SolvedDays(
            {key: guess.launches[key] for key in self.asked},
            dict(guess.rehearsals),
            frozenset(guess.beginners),
            proven=False,
            gap=self._gap(guess.cost, max(bound, 0.0)),
        )

    def _launch(self, each: Launching) -> cp_model.IntVar:
        """Return the day of lift-off, in a window where there is one it can meet."""
        first = max(each.earliest, 0)
        if each.day is not None:
            return self.model.new_constant(each.day)
        day = self.model.new_int_var(min(first, self.horizon), self.horizon, each.key)
        self.cost.append(GRAIN * day)
        windows = [list(x) for x in each.windows if x[0] <= self.horizon]
        if len(windows) < len(each.windows):
            # There are more than it can need: it lifts off in one.
            within = self.cp.Domain.from_intervals(windows)
            self.model.add_linear_expression_in_domain(day, within)
        elif windows:
            outside = self.model.new_bool_var(f"{each.key} outside")
            within = self.cp.Domain.from_intervals(windows)
            self.model.add_linear_expression_in_domain(day, within).only_enforce_if(~outside)
            self.model.add(day > each.windows[-1][1]).only_enforce_if(outside)
            self.cost.append(GRAIN * OUTSIDE * outside)
        if each.deadline is not None:
            late = self.model.new_int_var(0, self.horizon + abs(each.deadline), "late")
            self.model.add(late >= day - each.deadline)
            self.cost.append(GRAIN * LATE * late)
        return day

    def _due(self, key: str) -> bool:
        return self.programme.rehearsals[key].before in self.ahead

    def _drill(self, key: str) -> cp_model.IntVar:
        """Return the day on which a rehearsal begins, over before the launch it prepares."""
        each = self.programme.rehearsals[key]
        begins = self.model.new_int_var(0, self.horizon, key)
        launch = self.launch[each.before]
        self.model.add(begins + whole_days(each.duration) <= launch)
        self.cost.append(launch - begins)
        return begins

    def _precedence(self) -> None:
        for key, each in self.ahead.items():
            for earlier in each.after:
                before = self.asked[earlier]
                start: Any = before.day if before.flown else self.launch[earlier]
                self.model.add(self.launch[key] >= start + before.duration)

    def _trainings(self, crew: str) -> dict[str, Any]:
        """Return the training before each mission of a crew: full before their first one."""
        own = [x for x in self.ahead.values() if x.crew == crew]
        begun = any(x.flown and x.crew == crew for x in self.asked.values())
        if begun or not own or own[0].first_training == own[0].training:
            return {x.key: x.training for x in own}
        first = {x.key: self.model.new_bool_var(f"{x.key} first") for x in own}
        self.model.add_exactly_one(first.values())
        for key, flag in first.items():
            for other in first.keys() - {key}:
                self.model.add(self.launch[key] <= self.launch[other]).only_enforce_if(flag)
        self.beginner |= first
        more = own[0].first_training - own[0].training
        return {x.key: x.training + more * first[x.key] for x in own}

    def _trained(self, each: Launching) -> int:
        """Return how long a crew trains before a launch by the first guess."""
        return each.first_training if each.key in self.guess.beginners else each.training

    def _one_at_a_time(self, kind: str, name: str) -> None:
        """Let a pad, crew or team do one thing at a time, after what is flown or under way."""
        free = busy_until(self.asked.values(), kind, name)
        trainings = self._trainings(name) if kind == "crew" else {}
        taken = []
        for key, each in self.ahead.items():
            day = self.launch[key]
            for held in each.spans(0):
                if (held.kind, held.name) != (kind, name):
                    continue
                # An interval's start is a variable or one shifted: a lead to be chosen is neither.
                start = self.model.new_int_var(free, self.horizon, f"{key} {kind} from")
                size = self.model.new_int_var(0, self.horizon, f"{key} {kind} held")
                self.model.add(start == day + held.begins - trainings.get(key, 0))
                stop = day + held.ends
                begins = self.guess.launches[key] + held.begins
                begins -= self._trained(each) if kind == "crew" else 0
                self.model.add_hint(start, begins)
                self.model.add_hint(size, self.guess.launches[key] + held.ends - begins)
                taken.append(self.model.new_interval_var(start, size, stop, f"{key} {kind}"))
        for key, begin in self.drill.items() if kind == "team" else ():
            each_drill = self.programme.rehearsals[key]
            if each_drill.control_team == name:
                takes = whole_days(each_drill.duration)
                self.model.add(begin >= free)
                taken.append(self.model.new_fixed_size_interval_var(begin, takes, key))
        self.model.add_no_overlap(taken)

    def _supply(self, element: str) -> None:
        """Let no more launches have drawn units by any day than are ready by then.

        Said unit by unit: all draws but as many as there are before it wait for it. Units are
        alike, so that the order in which launches draw need not be known.
        """
        draws = [(x, draw.lead) for x in self.ahead.values() for draw in x.drawn(element)]
        ready = [unit.ready for unit in units(self.programme, element, len(draws))]
        for before, day in enumerate(ready):
            if before == 0 or day > ready[before - 1]:
                waiting = [self._from(each, day + lead) for each, lead in draws]
                self.model.add(sum(waiting) >= len(draws) - before)

    def _from(self, each: Launching, day: int) -> Any:  # noqa: ANN401  (a literal or a truth)
        """Return whether a launch lifts off on `day` or later."""
        if each.day is not None:
            return int(each.day >= day)
        steps, day = self.steps.setdefault(each.key, {}), each.opens(day)
        if day <= each.opens(max(each.earliest, 0)):
            return 1
        if day not in steps:
            flag = self.model.new_bool_var(f"{each.key} from {day}")
            self.model.add(self.launch[each.key] >= day).only_enforce_if(flag)
            self.model.add(self.launch[each.key] < day).only_enforce_if(~flag)
            steps[day] = flag
        return steps[day]

    def _stepped(self) -> None:
        """Tell the linear relaxation what waiting for each unit costs a launch, at least."""
        for key, steps in self.steps.items():
            each = self.asked[key]
            least = each.opens(max(each.earliest, 0))
            total: Any = least
            for day in sorted(steps):
                total += (day - least) * steps[day]
                least = day
            self.model.add(self.launch[key] >= total)
            for a, b in pairwise(sorted(steps)):
                self.model.add_implication(steps[b], steps[a])
