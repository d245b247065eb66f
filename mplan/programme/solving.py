"""When each launch lifts off: a constraint model solved by OR-Tools' CP-SAT.

The search begins at a first guess and looks no further than a year past its end. By weight, least
first: launches outside their stated windows, days beyond deadlines, the sum of
all launch days, and the days from rehearsals to the launches that they prepare. One worker, a
fixed seed and a limit counted in the solver's own work, not in seconds, give the same schedule
each time with one version of the library.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from mplan.programme.first_guess import FirstGuess
from mplan.programme.launching import Launching, end
from mplan.programme.production import units, whole_days
from mplan.programme.programme import Programme
from mplan.scenario.dates import LAST_DAY
from mplan.scenario.problems import Problem, ScenarioError

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

# Of the solver's deterministic time, under a second of an idle core; more while nothing is found.
EFFORTS = (0.1, 1.6, 16.0)
LATE = 100  # a day beyond a deadline against a day of any launch; own choice
BEYOND = 366  # days past the end of the first guess: what is searched; own choice
GRAIN = 50  # a day of a launch against a day between rehearsal and launch; own choice


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
    return max((end(x, kind) for x in asked if x.flown and getattr(x, kind) == name), default=0)


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
        guess = self.guess = FirstGuess(programme, asked)
        self.horizon = min(guess.last + BEYOND, (LAST_DAY - programme.today).days)
        self.ahead = {key: each for key, each in asked.items() if not each.flown}
        self.cost: list[Any] = []
        self.launch = {key: self._launch(each) for key, each in self.ahead.items()}
        self.drill = {key: self._drill(key) for key in programme.rehearsals if self._due(key)}
        self.beginner: dict[str, cp_model.IntVar] = {}
        self.order: dict[tuple[str, str], cp_model.IntVar] = {}
        self._precedence()
        for name in programme.pads:
            self._one_at_a_time(name, "pad", {})
        for name in programme.crews:
            self._one_at_a_time(name, "crew", self._trainings(name))
        for name in programme.control_teams:
            self._one_at_a_time(name, "team", {})
        for name in programme.elements:
            self._supply(name)
        self._hint(guess)

    def _hint(self, guess: FirstGuess) -> None:
        """Let the search begin at a schedule."""
        for key, day in self.launch.items():
            if self.asked[key].day is None:
                self.model.add_hint(day, guess.launches[key])
        for key, begins in self.drill.items():
            self.model.add_hint(begins, guess.rehearsals[key])
        for (one, other), flag in self.order.items():
            self.model.add_hint(flag, guess.launches[one] <= guess.launches[other])
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
        status = self.cp.UNKNOWN
        for effort in EFFORTS:
            settings.max_deterministic_time = effort
            status = solver.solve(self.model)
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
            gap=(solver.objective_value - solver.best_objective_bound) / GRAIN,
        )

    def _guessed(self, bound: float) -> SolvedDays:
        """Return the first guess, which holds all that is asked where no day is stated."""
        guess, cost = self.guess, 0.0
        for key, each in self.ahead.items():
            day = guess.launches[key]
            cost += day + LATE * max(0, day - (each.deadline if each.deadline is not None else day))
            outside = each.windows and day > each.windows[-1][1]
            cost += LATE * self.horizon if outside else 0.0
        return SolvedDays(
            {key: guess.launches[key] for key in self.asked},
            dict(guess.rehearsals),
            frozenset(guess.beginners),
            proven=False,
            gap=max(0.0, cost - max(bound, 0.0) / GRAIN),
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
            self.cost.append(GRAIN * LATE * self.horizon * outside)
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

    def _one_at_a_time(self, name: str, kind: str, before: dict[str, Any]) -> None:
        """Let a pad, crew or team do one thing at a time, after what is flown or under way."""
        free = busy_until(self.asked.values(), kind, name)
        taken = []
        for key, each in self.ahead.items():
            if getattr(each, kind) != name:
                continue
            day = self.launch[key]
            lead = before.get(key, each.stacking if kind == "pad" else 0)
            # An interval's start is a variable or one shifted, which a lead to be chosen is not.
            start = self.model.new_int_var(free, self.horizon, f"{key} {kind} from")
            size = self.model.new_int_var(0, self.horizon, f"{key} {kind} held")
            self.model.add(start == day - lead)
            stop = end(each, kind, 0) + day
            taken.append(self.model.new_interval_var(start, size, stop, f"{key} {kind}"))
        for key, begins in self.drill.items() if kind == "team" else ():
            each_drill = self.programme.rehearsals[key]
            if each_drill.control_team == name:
                takes = whole_days(each_drill.duration)
                self.model.add(begins >= free)
                taken.append(self.model.new_fixed_size_interval_var(begins, takes, key))
        self.model.add_no_overlap(taken)

    def _supply(self, element: str) -> None:
        """Let launches draw units in the order of lift-off, each once it is ready."""
        users = [x for x in self.ahead.values() if element in x.elements]
        if not users:
            return
        ready = [unit.ready for unit in units(self.programme, element, len(users))]
        drawn = [self.launch[x.key] - x.lead(element) for x in users]
        for each, day in zip(users, drawn, strict=True):
            if len(set(ready)) == 1:
                self.model.add(day >= ready[0])
                continue
            earlier = self.model.new_int_var(0, len(users) - 1, f"{each.key} {element}")
            before = [self._before(x.key, each.key) for x in users if x is not each]
            self.model.add(earlier == sum(before))
            taken = self.model.new_int_var_from_domain(self.cp.Domain.from_values(ready), "")
            self.model.add_element(earlier, ready, taken)
            self.model.add(day >= taken)
        # It follows from the above, and tells the search at once what the line's pace costs.
        self.model.add(sum(drawn) >= sum(ready))

    def _before(self, one: str, other: str) -> Any:  # noqa: ANN401  (a literal, or its opposite)
        """Return whether one launch lifts off before another."""
        if (other, one) in self.order:
            return 1 - self.order[other, one]
        if (one, other) not in self.order:
            flag = self.model.new_bool_var(f"{one} before {other}")
            self.model.add(self.launch[one] <= self.launch[other]).only_enforce_if(flag)
            self.model.add(self.launch[other] <= self.launch[one]).only_enforce_if(~flag)
            self.order[one, other] = flag
        return self.order[one, other]
